"""The arithmetic of coverage, a topic a file."""
