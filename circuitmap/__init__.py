"""circuitmap: from a transcribed wiring diagram to the part that flattens the battery."""

__version__ = "0.1.0"
