"""How is it said?

Values in; text, JSON and pages out: the only place for prose. `words` holds how things are called and the cautions;
`problems`, `circuit`, `live`, `suspects`, `job` each say one kind of answer; `pages` are what is printed or sent.
`json_fields.md` lists every field that is printed.
"""
