"""How is it told what is live in a state, through what it is fed, and what stays on when parked?"""
