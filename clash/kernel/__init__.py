"""Exact distances between swept solids, prisms and the faces of the concrete, in batches."""
