"""What changed between two states of a platform, and how do the changes of two people go together?"""
