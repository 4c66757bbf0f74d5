"""`python -m optimizer`: the command line."""

import sys

from optimizer.commands.main import main

if __name__ == "__main__":
    sys.exit(main())
