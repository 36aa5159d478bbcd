"""What did the current do all night? A recorder's file is read, cut into steps, and told as one night."""
