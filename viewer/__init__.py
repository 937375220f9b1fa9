"""What people see: the terminal, files and pictures."""
