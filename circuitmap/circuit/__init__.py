"""What is joined to what?

The graph of links, ways from and to a terminal, what hangs on a fuse, what fuses share, what is hands-off. The only
place for networkx. Whether anything is live is for `power`.
"""
