"""Drawings as data: what is on a page, in mm of the thing; DXF, PDF and pictures are made from the same."""
