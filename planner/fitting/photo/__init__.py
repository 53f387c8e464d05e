"""Stones on a photograph: where they lie, what one shows, and what several shots say together.

`propose` finds stones on their card; `stone` reads the pixels of one; `shot` corrects a photograph's
stones for its light by the white reference; `together` joins all stones of a kind, over all shots, to one
colour with what it may be off by.
"""
