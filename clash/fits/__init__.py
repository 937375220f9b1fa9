"""Fits: what was placed, laid over what was drawn."""
