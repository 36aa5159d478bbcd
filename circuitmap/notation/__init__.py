"""What does the text say?

Turns text into statements, with the place of every word; slips are told with their mend. Only here is lark used.
"""
