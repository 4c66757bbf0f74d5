"""`python -m optimizer`: the command line."""
