"""Studies and briefs as text for the terminal."""
