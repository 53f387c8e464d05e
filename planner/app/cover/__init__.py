"""Where the stones go: the areas of the garment, their patterns from above, and what they take.

`area_form` and `area_screen` ask for an area, `worker` lays one out, `pattern` shows it from above,
`content` has what only this screen says, `screen` joins them.
"""
