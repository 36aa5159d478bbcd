"""What is fitted?

The platform as frozen values: parts, wires, fuses, networks, sheets; their names; the checks that need no circuit.
"""
