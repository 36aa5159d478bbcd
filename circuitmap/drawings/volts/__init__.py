"""What does a probe show along the way of a current, and what should it show?"""
