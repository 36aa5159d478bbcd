"""How is the diagnosis told: the answer first, then why, then what to do next, then what is not known?"""
