"""Benchmarks: ratios measured side by side, never a timed assertion. Run: python -m tests.bench."""
