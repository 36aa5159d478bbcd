"""`python -m circuitmap`."""

from circuitmap.cli.main import run

if __name__ == "__main__":
    run()
