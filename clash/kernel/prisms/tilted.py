"""Prisms tilted against each other."""

from __future__ import annotations

from clash.kernel.nearest import Nearest
from clash.kernel.prism_table import PrismTable
from clash.kernel.tables import Index


def tilted(prisms: PrismTable, i: Index, j: Index) -> Nearest:
    """Not measured yet: NaN."""
    return Nearest.unmeasured(len(i))
