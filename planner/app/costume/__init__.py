"""The costume as a whole: what is known of the job besides its colours.

`items` describes every field that the form asks for; a further field of the job is one more of them.
"""
