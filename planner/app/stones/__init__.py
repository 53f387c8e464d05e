"""The screen of what a person has: her stones, her coatings and her drawer, the demo's apart.

`rows` says what is told of an entry, `looks` what it looks like in daylight, `form` what is asked of a new
one and what becomes of the answers, `screen` shows them.
"""
