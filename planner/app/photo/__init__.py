"""A swatch from a photograph: finding the file, marking cloth and white paper on it, keeping the result.

`view` is the picture with its two frames, and `frames` where those lie; `reading` is what is worked out
behind the screen; `files` what pictures a folder holds; `own_swatches` puts a swatch into the person's own
palette. The panel itself is one of the ways in `planner.app.choose`.
"""
