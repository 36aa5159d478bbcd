"""How does each thing that was read, heard, scanned or tried bear on each fault?

From the evidence to observations that can be weighed: which readings speak of the same state, what flows between the
places measured, tries, places that should be dead, earlier jobs.
"""
