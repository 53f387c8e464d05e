"""A photographed sample card, or what came of an order: stones marked, and what they say.

`marks` are the frames on the photograph with what each stone is; `worker` works out what they say, behind
the screen; `content` puts it in words; `entries` makes entries of it and `keep_screen` asks for their id;
`screen` is the screen.
"""
