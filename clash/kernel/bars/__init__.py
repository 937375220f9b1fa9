"""Swept bars against swept bars: exact gaps, piece by piece, in batches."""
