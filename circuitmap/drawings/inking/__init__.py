"""From places to strokes, outlines and text: symbols, wires in their colours, the legend."""
