"""Tests of parts on stock and what they cost."""
