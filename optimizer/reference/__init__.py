"""Published tables and rules of the trade, each with its source beside it."""
