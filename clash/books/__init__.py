"""Rule books: a published document's figures and formulas, one document a module."""
