"""Small parts that several screens share: patches of colour, a line to find by, braille dots."""
