"""Files of solids for other programs."""
