"""Spectra in the files of instruments, CSV or CGATS: read into arrays, in one order and one unit."""
