"""What are parts, ways, amounts, chances and dangers called, wherever they occur?"""
