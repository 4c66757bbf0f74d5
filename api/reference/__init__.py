"""What is the same for everyone: ready briefs, limits, the interface itself, health, the page."""
