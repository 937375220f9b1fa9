"""What is wrong: parts become gaps, gaps become findings."""
