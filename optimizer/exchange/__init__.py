"""Reading and writing: briefs, studies, texts and drawings as files."""
