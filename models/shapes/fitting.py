"""The one tolerance between "in contact" and "one through the other"."""

from __future__ import annotations

FITTING = 0.5
"""mm: two bars that are meant to touch may overlap on paper by up to this before one runs through the other.

A tie rises by one bar diameter on its way round and its bends tilt with it; drawn true, they press about
0.01 mm into the bars that they hold. Half a millimeter is fifty times that, and still about the height of the
ribs that nominal diameters leave out (No. 3: .015 in = 0.38 mm a side, No. 8: .050 in = 1.27 mm).
"""
