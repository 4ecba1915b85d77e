"""What the faces of a deck measure, a topic a file."""
