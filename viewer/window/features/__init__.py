"""What the window can do, a file each: its keys, its words, its drawing. See `viewer/window/feature.py`."""
