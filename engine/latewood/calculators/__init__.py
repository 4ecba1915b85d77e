"""The calculators, one a file, named after its id; modules with an underscore are parts of them."""
