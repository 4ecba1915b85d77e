"""Serving an ASGI application over HTTP/1.1: connections, one worker's share of them, and who watches the workers."""
