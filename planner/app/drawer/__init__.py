"""The screen of the drawer: what she owns, lot by lot, and how to ask for more of one.

`form` says what is asked of a lot, `screen` shows them.
"""
