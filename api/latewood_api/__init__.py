"""HTTP over the engine: routes, problems, the contract, the docs pages and the server."""
