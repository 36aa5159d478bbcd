"""How likely is a reading under an explanation, and what do all of them weigh together?

Knows numbers only: no car, no part, no fault. Spreads of currents, the chance of what a meter shows, tables over the
ways an observation touches explanations, the weight of nothing, of each one and of each pair, the bits a test tells.
"""
