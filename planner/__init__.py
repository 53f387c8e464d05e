"""Says what a coated flat-back stone will read as on a costume, before it is bought.

Light flows through the rooms in one direction: `colour` and `optics` compute with arrays,
`catalogue`, `swatch` and `job` hold what a maker knows and chose, `reading` joins them into
answers, `order` and `brief` act on the answers, `app` and `cli` show them.
"""

import os

# Work is shared out over threads here, stone by stone. A matrix library that starts threads of its
# own for each of thousands of small products spends its time waiting for them (thirty times slower
# on two busy cores).
os.environ.setdefault("OPENBLAS_NUM_THREADS", "1")

# The library of the catalogue's models asks every installed package for plugins; none is wanted here.
os.environ.setdefault("PYDANTIC_DISABLE_PLUGINS", "1")
