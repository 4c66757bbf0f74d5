"""Ranked alternatives: the model solved repeatedly, each layout at a distance from the ones
before."""
