"""Lets ``python -m planner`` do what the ``planner`` command does."""

from planner.cli import main

if __name__ == "__main__":
    main()
