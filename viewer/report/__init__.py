"""What was found, as people and programs read it: a terminal, JSON, CSV, against an earlier report."""
