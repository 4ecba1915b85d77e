"""Quantities as people write them: spellings, factors, the grammar of their text, money, instants, outlines."""
