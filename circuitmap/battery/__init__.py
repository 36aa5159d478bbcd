"""How long does the battery last?

Charge, capacity, the time to no-start, and whether a draw is enough to flatten it. Arithmetic only.
"""
