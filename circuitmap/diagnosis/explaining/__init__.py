"""What is left of the explanations, in what groups, and why does each stand where it stands?"""
