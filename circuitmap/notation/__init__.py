"""What does the text say?

Text to statements, with the place of every word; slips told with their mend. The only place for lark.
"""
