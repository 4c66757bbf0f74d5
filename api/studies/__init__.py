"""Studies: made, run to exactly one end, followed, read; with their reruns."""
