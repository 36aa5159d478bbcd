"""How is a problem in somebody's text, or a change of it, told?"""
