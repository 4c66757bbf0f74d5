"""Briefs and studies from outside: JSON read safely, every fault found at once, scenarios."""
