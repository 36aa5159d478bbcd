"""Which explanations are left, in what groups, and why does each stand where it stands?"""
