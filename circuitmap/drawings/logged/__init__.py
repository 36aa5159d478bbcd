"""What did the night look like? A log as one picture: the ink of all samples, levels over it, events numbered."""
