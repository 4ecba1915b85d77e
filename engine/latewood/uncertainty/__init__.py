"""Uncertain numbers: normal scores, states, arithmetic, quantiles."""
