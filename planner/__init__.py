"""Says what a coated flat-back stone will read as on a costume, before it is bought.

Light flows through the rooms in one direction: `colour` and `optics` compute with arrays,
`catalogue`, `swatch` and `job` hold what a maker knows and chose, `reading` joins them into
answers, `order` and `brief` act on the answers, `app` and `cli` show them.
"""
