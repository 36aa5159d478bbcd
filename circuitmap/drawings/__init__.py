"""Show the subset that matters.

Subpackages in the order of work: `lettering` (how wide a text is), `scene` (what is to be drawn, as values), `shapes`
(the outline of each part and where wires land), `placing` (coordinates, with Graphviz in a child process), `inking`
(strokes and symbols), `files` (SVG, PNG, PDF, DOT, sheets). `draw` goes through all of them.
"""
