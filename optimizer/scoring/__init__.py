"""What a layout is worth: its amounts, its score term by term, and its distance from other
layouts."""
