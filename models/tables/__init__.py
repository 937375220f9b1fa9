"""Published tables as CSV; the comment lines at the head of each name its standard."""
