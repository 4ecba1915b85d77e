"""What is said of a wash: what must not be mixed or done, and what comes before, with and after it."""
