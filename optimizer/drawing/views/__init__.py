"""What is drawn: plan, elevations, sections and isometric view, sheet and stick layouts."""
