"""What outline does each part have, at which level does it stand, and where do wires touch it?"""
