"""What the service does, apart from HTTP."""
