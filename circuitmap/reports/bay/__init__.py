"""What does somebody with a phone need to see at the car, and what does each tap write?

The answer for the page, as plain values: texts, numbers, and the short lines that a tap adds to the card. No markup.
"""
