"""What does the text say?

Turns text into statements, with the place of every word; slips are told with their mend. Only here is lark used.

In the order of work: `folder` finds the files, `lines` cuts them into statements, `parser` makes a tree of each
(`mending` and `mends` of one that cannot be read), `transformer` and `words` its value in `statements`; `reading`
leads through it.
"""
