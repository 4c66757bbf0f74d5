"""The layouts of a study: read, drawn, compared, checked."""
