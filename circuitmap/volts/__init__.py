"""What should a voltmeter show here? Resistances with their bounds, the currents of one state, the volts at each point,
what a bad place would change, and what a reading points to."""
