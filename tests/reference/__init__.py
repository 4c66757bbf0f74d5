"""Tests of published tables and rules of the trade."""
