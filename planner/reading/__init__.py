"""What a pairing will read as: glow, flash, lots, drift, warnings, and what to order instead."""
