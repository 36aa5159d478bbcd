"""How are the answers of `trace`, `common` and `list` told, as text and as JSON?"""
