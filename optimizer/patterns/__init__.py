"""Bay patterns: vertical stacks of zones that a piece of wall may carry."""
