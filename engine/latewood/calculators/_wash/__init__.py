"""Parts of the calculator wash."""
