"""What is joined to what?

The graph of links, the ways from and to a terminal, what hangs on a fuse, what fuses share, what is hands-off. Only
here is networkx used. Whether anything is live is for `power`.
"""
