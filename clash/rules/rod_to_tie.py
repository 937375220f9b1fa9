"""Room for concrete between cast-in rods and the ties, crossties and hoops that pass them."""

from __future__ import annotations

from collections.abc import Iterator

from clash.pier_view import PierView
from clash.rule import DoesNotApply, Measured, rule
from clash.rules.rod_to_bar import clear_of_rods
from models.part import ANCHORS, LATERAL


@rule(
    id="rod to tie",
    title="clear distance between rods and ties",
    source="the site's required.rod_bar_clear, else practice: room for the largest aggregate (no clause)",
)
def rod_to_tie(view: PierView) -> Iterator[Measured | DoesNotApply]:
    """Clear distance of every rod and its head to every tie, hook tails included, that it doesn't overlap.

    A tie encloses rods at a distance, so it needs room as any bar does; one that is drawn to touch a rod (the
    part says so) is left alone.
    """
    if not view.roles(*ANCHORS).any():
        yield DoesNotApply("no rods")
    elif not view.roles(*LATERAL).any():
        yield DoesNotApply("no ties beside the rods")
    else:
        yield clear_of_rods(view, LATERAL)
