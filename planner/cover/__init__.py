"""From the garment's areas to stones: how many of each pairing and size its patterns take."""
