"""``python -m latewood.cli``."""

import sys

from latewood.cli import main

if __name__ == "__main__":
    sys.exit(main())
