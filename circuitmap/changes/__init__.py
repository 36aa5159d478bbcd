"""What changed between two states of a platform, and how do two people's changes go together?"""
