"""The words of the trade as data: brief, layout and study."""
