"""Placing tolerances: whose, how much, and what they take of a measurement."""
