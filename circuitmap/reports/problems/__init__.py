"""How is a problem in somebody's text, or a change to it, told?"""
