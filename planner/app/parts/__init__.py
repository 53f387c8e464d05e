"""Small parts that several screens share: honest colour, patches, a line to find by, braille dots."""
