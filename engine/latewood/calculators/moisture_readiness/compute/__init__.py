"""Readings put right, what they amount to, how the wood dries, and the verdict."""
