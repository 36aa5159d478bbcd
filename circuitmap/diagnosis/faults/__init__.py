"""What could be wrong on this platform, how often does it happen, and what would it bring?

`fault_kinds` holds a record for each kind, with the odds, `candidates` every fault that could be here, `joint` pairs
that need one another, `without` what is left of a fault with parts out, `looking` what a look would show of it.
"""
