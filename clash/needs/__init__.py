"""What is needed and who says so: the figures that a rule book answers with."""
