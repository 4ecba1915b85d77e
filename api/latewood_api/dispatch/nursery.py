"""The process that workers are forked from, itself forked from the server once the engine is loaded.

Python's own starts anew and loads the engine a second time, which takes as long as the first. This one is its fork
server with what is loaded already; where Python's parts are other ones than those named here, or it cannot be forked,
theirs is used as it is.
"""

from __future__ import annotations

import gc
import os
import signal
import sys
import threading
from multiprocessing import connection, forkserver, resource_tracker, util
from socket import AF_UNIX, socket
from typing import Any, Final

from latewood.catalogue import Catalogue
from latewood_api.dispatch import handed
from latewood_api.dispatch.slot import forked, starting

#: Versions of Python whose fork server has these parts. Others load the engine twice, and all else is the same.
KNOWN: Final = ((3, 11), (3, 12), (3, 13))


def open_nursery(lw: Catalogue) -> None:
    """Fork it, where that can be done. No thread of this process may have been started."""
    if sys.platform == "win32" or sys.version_info[:2] not in KNOWN:
        return
    if not forked(starting()) or threading.active_count() > 1:
        return
    server: Any = forkserver._forkserver  # what KNOWN is about
    if server._forkserver_pid is not None:
        return
    resource_tracker.ensure_running()
    # What was loaded so far stays: a collection that touched it would copy it into each worker.
    gc.freeze()
    with socket(AF_UNIX) as listener:
        address = connection.arbitrary_address("AF_UNIX")  # type: ignore[attr-defined]  # undocumented
        listener.bind(address)
        if not util.is_abstract_socket_namespace(address):
            os.chmod(address, 0o600)
        listener.listen()
        ends_r, ends_w = os.pipe()
        pid = os.fork()
        if pid == 0:
            _raise_workers(lw, listener, ends_r)
        os.close(ends_r)
    server._forkserver_address, server._forkserver_alive_fd, server._forkserver_pid = address, ends_w, pid


def _raise_workers(lw: Catalogue, listener: socket, ends_r: int) -> None:
    """Fork workers until the server ends."""
    code = 1
    try:
        handed.CATALOGUE = lw
        from latewood_api.dispatch import preloaded  # noqa: F401  # before the first worker is forked

        # The server's own socket and files are not kept open by this.
        kept = sorted({0, 1, 2, listener.fileno(), ends_r})
        for below, above in zip(kept, [*kept[1:], os.sysconf("SC_OPEN_MAX")], strict=True):
            os.closerange(below + 1, above)
        signal.signal(signal.SIGTERM, signal.SIG_IGN)
        # It was forked while the server was starting.
        gc.enable()
        forkserver.main(listener.detach(), ends_r, [])
    except SystemExit:
        code = 0
    finally:
        os._exit(code)
