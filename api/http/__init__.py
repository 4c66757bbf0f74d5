"""HTTP below the routes: limits, timeouts, headers, ids and conditional requests."""
