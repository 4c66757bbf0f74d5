"""One interface over HiGHS and CBC, and the only code that knows which PuLP is installed."""
