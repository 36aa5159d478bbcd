"""What is fitted?

The platform as frozen values: parts, wires, fuses, networks, sheets; their names; the checks that need no circuit.

In the order of work: `declare` leads through it; `declared_parts` and `declared_networks` make the parts,
`written_names` finds what a name means, `laying` makes wires of lines, `merging` one wire of the same wire on two
sheets, `assumed_roles` says what pins do that nobody declared; `checks` look at what came out.
"""
