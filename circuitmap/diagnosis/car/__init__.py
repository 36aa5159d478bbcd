"""What flows in this vehicle while it is parked and sound, where, and what changes when something changes?

Currents of parts, the way each current takes, the places where it can be measured. Knows no fault and no reading.
"""
