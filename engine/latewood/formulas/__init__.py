"""The science as pure functions, one topic a file."""
