"""Rule books: a folder for each published document, found by name, with a `BOOK` that answers `RuleBook`."""

from __future__ import annotations

import pkgutil
from functools import cache
from importlib import import_module

from clash.needs.need import RuleBook


@cache
def books() -> dict[str, RuleBook]:
    """Every rule book by its id."""
    found: dict[str, RuleBook] = {}
    for module in pkgutil.iter_modules(__path__):
        if module.ispkg:
            book: RuleBook = import_module(f"{__name__}.{module.name}").BOOK
            found[book.id] = book
    return found
