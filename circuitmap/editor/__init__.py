"""How does an editor that somebody has already show what circuitmap knows? The only place for pygls and lsprotocol.

Nothing is decided here: places are turned into those of the protocol, and answers of `flows/edited` into its values.
"""
