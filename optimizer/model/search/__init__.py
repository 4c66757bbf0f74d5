"""Solving the model again and again: ranked alternatives at a distance from one another."""
