"""Where the stones go: the areas of the garment, their patterns from above, and what they take.

`form` asks for an area, `figures` works out what areas take, `said` puts it into words, `pattern` shows
an area from above, `screen` joins them.
"""
