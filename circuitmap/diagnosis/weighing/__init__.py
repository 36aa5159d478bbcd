"""How likely is a reading under an explanation, and what do all of them weigh together?

Knows only numbers: no car, no part, no fault. Spreads of currents, the chance of what a meter shows, tables over the
ways an observation touches explanations, the weights of "nothing wrong", of each fault and of each pair, the bits a
test tells.

In the order of work: `sightings` are the observations as numbers, `reading_chance` and `outcomes` the chance of each,
`ways`, `tables` and `branches` put them side by side for all explanations, `likeliest` keeps those worth it,
`weights` adds up, `information` and `decibans` say how much was learnt.
"""
