"""Parts against the faces of the concrete that they are in."""
