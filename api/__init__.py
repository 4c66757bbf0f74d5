"""The JSON service."""
