"""A photographed sample card, or what came of an order: stones marked, and what they say.

`marks` are the frames on the photograph with what each stone is; `bench` works out what they say, behind
the screen; `saying` puts it in words; `kept` makes entries of it and `keeping` asks for their id; `screen`
is the screen.
"""
