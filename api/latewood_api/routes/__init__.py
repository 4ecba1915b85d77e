"""One topic a module; each has ``handlers(catalogue)`` returning its routes."""
