"""What is there: a site file becomes piers, and piers become parts (solids)."""
