"""Runs the command."""

import sys

from latewood_api.compatibility import main

sys.exit(main())
