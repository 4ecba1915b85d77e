"""Runs the command."""

import sys

from tests.contract.compatibility import main

sys.exit(main())
