"""Version of the HTTP interface; those of what answers are `optimizer.versions`."""

API_VERSION = "1.3.0"
"""Its first number is the `/v1` of every path."""
