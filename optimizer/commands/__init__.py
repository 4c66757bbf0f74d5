"""The command line: one module a command, registered in `registry`."""
