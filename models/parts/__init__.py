"""The parts of a pier, one idea a file: what each is made of and where it stands."""
