"""What is live, and why?

A state of the vehicle (key, switches, equipment, what fails) settles: contacts, coils, outputs, modules awake and
asleep. From there: constant or switched, through what, in which other states, and the checks that need feeds.
"""
