"""The rules, one idea a file; each is a function that measures and says what it needs."""
