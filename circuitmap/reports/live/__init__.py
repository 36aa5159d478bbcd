"""How is it told what is live in a state, through what, and what stays on when parked?"""
