"""What stones do to light: film stacks, glass, cut, beams, stone, to spectra. Arrays only."""
