"""The job file: one costume's choices; open and save."""
