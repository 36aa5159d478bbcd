"""How wide is a text, and how is it broken, shortened and cleaned before it is drawn?"""
