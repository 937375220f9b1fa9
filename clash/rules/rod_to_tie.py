"""Distance between cast-in rods and the ties, crossties and hoops that cross them."""

from __future__ import annotations

from collections.abc import Iterator

from clash.needs.need import Need
from clash.pier_view import PierView
from clash.rule import DoesNotApply, Measured, rule
from clash.rules.rod_to_bar import clear_of_rods
from models.part import ANCHORS, LATERAL


@rule(
    id="rod to tie",
    title="clear distance between rods and ties",
    source="as specified: the site's required: rod tie clear",
)
def rod_to_tie(view: PierView) -> Iterator[Measured | DoesNotApply]:
    """Clear distance of every rod and its head to every tie, hook tails included, where the site asks for
    any.

    Ties lie level and rods stand: they cross at a point, concrete passes above and below, and ties about rods
    are wired to them as they are to verticals. So nobody publishes a distance, contact will do, and only a
    tie through a rod is a fault (the rule on overlaps). What placing takes of a small gap is for the
    tolerances to tell.
    """
    figure = view.pier.spec.required.rod_tie_clear
    if not view.roles(*ANCHORS).any() or not view.roles(*LATERAL).any():
        yield DoesNotApply("no ties that cross rods")
    elif figure is None:
        yield DoesNotApply(
            "ties cross rods and may touch them; the site asks for no more (required: rod tie clear)"
        )
    else:
        yield clear_of_rods(view, LATERAL, Need(figure, "as specified, required: rod tie clear"))
