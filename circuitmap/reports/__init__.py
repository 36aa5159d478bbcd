"""How is it said?

Values in; text, JSON and pages out: the only place for prose. `words` holds the names of things and the cautions;
`problems`, `circuit`, `live`, `suspects` and `job` each tell one kind of answer; `pages` are what is printed or sent.
`json_fields.md` lists every field that is printed.
"""
