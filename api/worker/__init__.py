"""Child processes that solve and calculate, and what watches over them."""
