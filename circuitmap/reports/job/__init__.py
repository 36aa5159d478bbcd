"""How is it told what was done on a car, where the job stands, and what comes next?"""
