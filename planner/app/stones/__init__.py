"""The screen of what a person has: her stones and her coatings, the demo's apart.

`rows` says what is told of an entry, `form` what is asked of a new one and what becomes of the answers,
`screen` shows them.
"""
