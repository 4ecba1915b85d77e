"""How long and how large: what one client may cost. Each is tried against a running server in tests/faults."""

from __future__ import annotations

from typing import Final

#: Seconds for a request line and headers, from the first byte; and for that first byte, on a new connection.
HEAD_SECONDS: Final = 10.0
#: Seconds a connection may rest between two requests.
IDLE_SECONDS: Final = 30.0
#: Seconds a client that was told to close may take to do so. Cut off at once, it may never read why.
LINGER_SECONDS: Final = 2.0
#: Bytes that are thrown away meanwhile, or while an answer is computed that did not need them.
LINGER_BYTES: Final = 16 * 1024 * 1024
#: Seconds in which a client must take another `STALL_BYTES` of its answer.
STALL_SECONDS: Final = 30.0
STALL_BYTES: Final = 16 * 1024
#: Bytes of a request line and headers.
HEAD_BYTES: Final = 64 * 1024
#: Headers of one request.
HEADERS: Final = 100
#: Bytes of framing that each byte of a body may cost: a chunk of one byte has six around it.
FRAMING: Final = 8
#: Bytes read, parsed and written at a time. A body nobody reads further holds twice the first.
READ: Final = 8 * 1024
SLICE: Final = 4 * 1024
WRITE: Final = 64 * 1024
#: Connections of one worker, where the system allows that many open files. The longest silent gives way to a new one.
CONNECTIONS: Final = 16_384
#: Connections the system holds until a worker takes them.
BACKLOG: Final = 4096
#: Seconds between two looks at what is late.
SWEEP: Final = 0.25
