"""``python -m giornata``: the command without its script."""

import sys

from giornata.cli.front import main

if __name__ == "__main__":
    sys.exit(main())
