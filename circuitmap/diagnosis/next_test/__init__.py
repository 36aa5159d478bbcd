"""Which test comes next, what may it show, and what does it cost?

`handling` knows what can be done by hand and what is hands-off, `actions` what is worth doing, `predicting` what each
explanation expects of it, `choosing` which of them tells the most per minute; `planned` is the test as a value.
"""
