"""A form: several lines to fill in, each checked as it is typed.

`entry` says what a line asks for, `screen` shows a list of them. What is asked, and what becomes of the
answers, is the business of whoever opens it.
"""
