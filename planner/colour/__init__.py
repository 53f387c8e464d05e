"""What the eye makes of light: spectrum to XYZ to CIELAB, differences, names, adaptation. Arrays only."""
