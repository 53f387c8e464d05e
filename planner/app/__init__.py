"""The screens: a Textual interface over the rooms above it, with no optics or colour of its own.

`planner_app` is the app and `keeping` what it must not lose; `main_screen` is the screen a maker works
on, `places` the table of all others. `state` says what is asked, `desk` has it worked out in threads,
`look` puts it in words; the rest are widgets, and screens laid over the main one. `choose`, `pairings`,
`plots`, `venues`, `costume` and `form` are rooms of their own.
"""
