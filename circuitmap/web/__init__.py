"""How do several phones at one car get the same answers, and how does nothing that they type get lost or go elsewhere?

The only place for HTTP. No word of the trade is decided here: what is shown comes ready made from the desk.
"""
