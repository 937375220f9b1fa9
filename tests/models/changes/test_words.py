"""What was tried, in the words of the banner."""

from __future__ import annotations

from models.changes.change import MoveTie, NudgeRods, TurnRods
from models.changes.rebuilt import rebuilt
from models.changes.words import in_words, what_follows
from models.lengths import Units
from models.pier import Pier
from models.site import Site
from tests.support.hardware import beam_seat, everything, pier, plate_seat, site


def after(drawn: Site, mark: str, *changes, units: Units = Units.MM) -> tuple[Pier, Pier]:
    now = drawn
    for change in changes:
        now = rebuilt(now, change.applied(next(p.spec for p in now.piers if p.mark == mark), units))
    was, is_ = (next(p for p in s.piers if p.mark == mark) for s in (drawn, now))
    return was, is_


def test_moves_are_told_by_the_winds_and_together() -> None:
    drawn = everything()
    changes = (NudgeRods(5.0, 0.0), NudgeRods(5.0, -5.0), TurnRods(-2.0), MoveTie(2, -5.0), MoveTie(3, 10.0))
    assert in_words(*after(drawn, "P1", *changes), Units.MM) == (
        "rods 10 mm E and 5 mm S",
        "rods turned 2° clockwise",
        "tie 2 down 5 mm",
        "tie 3 up 10 mm",
    )


def test_inches_are_told_as_a_tape_shows_them() -> None:
    said = in_words(*after(everything(), "P1", NudgeRods(9.525, 3.175), units=Units.FT_IN), Units.FT_IN)
    assert said == ('rods 3/8" E and 1/8" N',)


def test_a_round_pier_has_hoops() -> None:
    assert in_words(*after(everything(), "P4", MoveTie(2, -5.0)), Units.MM) == ("hoop 2 down 5 mm",)


def test_a_pier_turned_a_quarter_has_its_x_in_the_north() -> None:
    drawn = site(pier(turn=90, seat=plate_seat()))
    assert in_words(*after(drawn, "P1", NudgeRods(5.0, 0.0)), Units.MM) == ("rods 5 mm N",)


def test_there_and_back_is_nothing() -> None:
    assert in_words(*after(everything(), "P1", TurnRods(3.0), TurnRods(-3.0)), Units.MM) == ()


def test_listed_rods_that_turn_are_not_said_to_move() -> None:
    drawn = site(
        pier(seat=beam_seat(rods={**beam_seat()["rods"], "pattern": {"at": [[-100, 250], [100, 250]]}}))
    )
    assert in_words(*after(drawn, "P1", TurnRods(1.0)), Units.MM) == ("rods turned 1° counterclockwise",)


def test_what_goes_along_with_the_rods_is_said() -> None:
    plate = plate_seat()["plate"] | {"holes": {"diameter": 27, "pattern": {"at": [[0, 0]]}}}
    beam = {"piers": ["P2"], "direction": 0, "width": 133, "depth": 400, "hole": 27, "overhang": 300}
    drawn = site(
        pier(seat=plate_seat(plate=plate)),
        pier("P2", x=3000, seat=beam_seat()),
        beams=[beam | {"name": "B1"}, beam | {"name": "B2", "holes_at": [[0, 0]]}],
    ).spec
    assert what_follows(drawn, drawn.piers[0]) == (
        "The holes of the plate have a pattern of their own, and stay.",
        "The holes of the template follow.",
    )
    assert what_follows(drawn, drawn.piers[1]) == (
        "The holes of beam B1 follow.",
        "The holes of beam B2 are listed, and stay.",
    )
