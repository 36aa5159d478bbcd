"""How is it said why loads do not work, and where the probe goes next?"""
