"""What is true of the answers beside what is said of them: ``python -m tests.truth`` prints it."""
