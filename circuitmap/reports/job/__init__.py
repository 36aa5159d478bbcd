"""How is it told what was done on a car, where it stands, and what comes next?"""
