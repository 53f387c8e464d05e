"""A walk through the demo's job for newcomers: a strip over every screen says what is seen, what to do."""
