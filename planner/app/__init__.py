"""The screens: a Textual interface over the rooms above it, with no optics or colour of its own.

`planner_app` holds one job and what must not be lost, `main_screen` the screen a maker works on.
`state` says what is asked, `desk` has it worked out in threads, `look` puts it in words; the rest are
widgets, and screens laid over the main one. `choose`, `pairings` and `plots` are rooms of their own.
"""
