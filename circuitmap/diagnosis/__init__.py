"""What do the readings point to, and which test comes next?

Rooms, from the ground up:

- `weighing`: chances and weights; knows no car
- `car`: what flows in this platform, parked
- `faults`: what could be wrong here
- `seen`: how each observation bears on each fault
- `explaining`: what is left, and why
- `next_test`: what to do now

On top of them: `prepared` (everything about a car that no reading changes), `diagnose` (the whole, as one readable
function), `diagnosis` (the answer as values), `unsaid` and `incomplete` (what it rests on).
"""
