"""Why do these loads not work? What they share and the ones that work do not, by how likely each is to be interrupted,
and where to put the probe next."""
