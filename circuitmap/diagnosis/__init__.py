"""What do the readings point to, and what is worth doing next?

Everything here is values in, values out. numpy stays inside this folder and is imported only when
something is weighed.
"""
