"""The commands, a file each: what is read, what is made of it, and where it goes."""
