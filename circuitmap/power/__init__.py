"""What is live, and why?

A state of the vehicle (key, switches, equipment, what fails) is settled: contacts, coils, outputs, modules awake and
asleep. From that follow what is constant or switched, through what, in which other states, and the checks that need
feeds.
"""
