"""How does each thing that was read, heard, scanned or tried bear on each fault?

From the evidence to observations that can be weighed: which readings speak of the same state, what flows between the
places measured, tries, places that should be dead, earlier jobs.

In the order of work: `choosing_readings` picks those that speak of one state, `netting` arranges them along the
wires, `taking_off` says what branches take off the place above them, `observing` and `trying` make the observations,
`observed` is the union of all of these.
"""
