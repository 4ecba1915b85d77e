"""The engine as every worker has it: loaded once, in the process that workers are forked from.

Only that process and workers import this. Where no process is forked, each worker loads the engine for itself.
"""

from __future__ import annotations

import gc
import os
import signal
from typing import Final

from latewood.catalogue import load
from latewood_api.dispatch import handed, work

#: Whose memory it was loaded in.
LOADED_BY: Final = os.getpid()
CATALOGUE: Final = handed.CATALOGUE or load()
#: Reached through here, so that a worker that finds them has found all it needs.
WORK: Final = work

# A terminal and some managers of services signal every process: when to end is for the server to say.
for _number in (signal.SIGINT, signal.SIGTERM):
    signal.signal(_number, signal.SIG_IGN)
# A collection that touched what was loaded would copy it into each worker.
gc.collect()
gc.freeze()
