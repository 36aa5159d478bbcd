"""What did the current do all night? A recording, told as text and as JSON."""
