"""Tests of the sheet and stick layouts."""
