"""Changes to a pier that are tried before anybody writes them down, and the copy that they are written to."""
