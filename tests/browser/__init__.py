"""Tests of the planner page in a real browser."""
