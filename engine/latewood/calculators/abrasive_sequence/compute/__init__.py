"""Arithmetic of abrasive-sequence: the work on faces and gaps, what the last grade does, and what it all comes to."""
