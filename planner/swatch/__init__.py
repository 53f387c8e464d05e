"""How a swatch's colour gets in, and a plausible spectrum for a colour."""
