"""What does the shop have? Platforms and jobs under a folder, found by what is in them."""
