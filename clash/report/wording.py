"""Sentences of findings: which two things, where, how much there is, how much is needed, by which source."""

from __future__ import annotations

import re
from math import ceil, floor

import numpy as np
from msgspec.structs import replace

from clash.gap_table import labels
from clash.measures.hooks import at_hook
from clash.needs.need import Need
from clash.rule import Limit
from models.lengths import Toward, Units, show_gap, show_length
from models.motion import Array
from models.pier import Pier
from models.winds import WINDS, wind

_WIND = re.compile(rf"\b({'|'.join(WINDS)}|center)\b")


def named(label: str) -> str:
    """A label in a sentence: "the vertical at the SE corner"; "bar anchor 3 (SE)", "tie 2 from top"."""
    numbered = re.match(r"(\S+ ){1,2}\S*\d+(\W|$)", label) is not None
    word = label.partition(" ")[0]
    return label if numbered or word == "the" or not word.islower() else f"the {label}"


def sentence(
    template: str,
    pier: Pier,
    a: int,
    b: int,
    measured: float,
    need: Need,
    limit: Limit,
    at: Array,
    units: Units,
    unit: str | None = None,
) -> str:
    """One finding in words.

    template: may use {a}, {b} (the two things), {measured}, {required}, {past} (how far a measurement lies
    below zero), {where} (depth, and the wind where no label has one), {plan} (the wind), {source}. unit: what
    is counted, where it is no length. Shown figures are rounded so that what is not met never reads as met.
    """
    told = labels(pier, [a] if a == b else [a, b])
    at_a, at_b = named(told[0]) + _hook(pier, a, at), named(told[-1]) + _hook(pier, b, at)
    words = template.format(
        a=at_a,
        b=at_b,
        measured=shown(measured, unit, units, "measured least" if limit == "least" else "measured most"),
        required=shown(need.value or 0.0, unit, units, "needed least" if limit == "least" else "needed most"),
        past=shown(-measured, unit, units, "measured most" if limit == "least" else "measured least"),
        where=_where(pier, at, units, any(_WIND.search(label) for label in told)),
        plan=_plan(pier, at),
        source=need.source,
    )
    return words[0].upper() + words[1:]


def shown(value: float, unit: str | None, units: Units, toward: Toward) -> str:
    """A length (mm), or a figure in another unit to its third decimal: "0.498 %", "144 degrees", "1 tie"."""
    if unit is None:
        return show_gap(value, units, toward)
    down = toward in ("measured least", "needed most")
    figure = floor(value * 1000.0 + 1e-6) if down else ceil(value * 1000.0 - 1e-6)
    word = unit.removesuffix("s") if figure == 1000 else unit
    return f"{figure / 1000.0:g} {word}"


def unmeasured(title: str, pier: Pier, a: int, b: int) -> str:
    """The sentence for a pair whose distance could not be measured."""
    pair = " and ".join(named(label) for label in labels(pier, [a] if a == b else [a, b]))
    words = f"{pair}: the distance could not be measured; not checked: {title}."
    return words[0].upper() + words[1:]


def too_far(title: str, pier: Pier, a: int, b: int, within: float, need: Need, units: Units) -> str:
    """The sentence for a pair that is farther apart than was looked, where more is needed than that."""
    pair = " and ".join(named(label) for label in labels(pier, [a] if a == b else [a, b]))
    words = (
        f"{pair}: farther apart than the {show_length(within, units)} that gaps are measured up to, but "
        f"{show_gap(need.value or 0.0, units, 'needed least')} is needed ({need.source}): not checked."
    )
    return words[0].upper() + words[1:]


def lacking(title: str, ask: str) -> str:
    """The sentence for what is not checked because the site file does not say what is needed."""
    return f"{title[0].upper()}{title[1:]}: not checked, because {ask}."


def out_of_reach(need: Need, reach: float, units: Units) -> str:
    """What to tell, as the end of a sentence, of pairs that were not looked at because they are far apart."""
    return (
        f"gaps are measured up to {show_length(reach, units)}, and "
        f"{show_gap(need.value or 0.0, units, 'needed least')} is needed ({need.source})"
    )


def as_drawn(need: Need, units: Units) -> Need:
    """A nominal figure as what must be met as drawn, and what placing may take of it: its deviation."""
    if not need.deviation or need.value is None:
        return need
    nominal = shown(need.value, None, units, "needed least")
    return replace(
        need,
        value=need.value - need.deviation,
        tolerance=need.deviation,
        source=f"{need.source}: {nominal} nominal",
    )


def tight(words: str, tolerance: float, both: float, why: str, units: Units) -> str:
    """The sentence of a finding that is met as drawn, with what placing may take of it, and who says so.

    both: mm that it may take along both axes of the plan at once, where that is more.
    """
    taken = show_gap(tolerance, units, "needed least")
    more = f" along one axis, {show_gap(both, units, 'needed least')} along both" if both > tolerance else ""
    return f"{words} As drawn it is met, but placing may take {taken} of it{more} ({why})."


def override(
    need: Need, title: str, who: str, units: Units, limit: Limit = "least", unit: str | None = None
) -> str:
    """The sentence for a figure of the site that is looser than the published one."""
    assert need.value is not None
    assert need.published is not None
    what = need.what or title
    least = limit == "least"
    own = shown(need.value, unit, units, "measured least" if least else "measured most")
    published = shown(need.published, unit, units, "needed least" if least else "needed most")
    return (
        f"{who}: {what} is {own} ({need.source}), {'less' if least else 'more'} than the {published} of "
        f"{need.published_source}."
    )


def _hook(pier: Pier, part: int, at: Array) -> str:
    """Which end of a tie is meant, where it is its hook."""
    return " (its hook)" if part >= 0 and at_hook(pier.parts[part], at) else ""


def _where(pier: Pier, at: Array, units: Units, has_wind: bool) -> str:
    if not np.all(np.isfinite(at)):
        return "out of reach"
    z = float(at[2])
    height = show_length(abs(z), units)
    level = (
        "at the top of concrete"
        if abs(z) < 0.5
        else f"at {height} {'below' if z < 0 else 'above'} the top of concrete"
    )
    return level if has_wind else f"{level}, {_plan(pier, at)}"


def _plan(pier: Pier, at: Array) -> str:
    """Where in plan: "on the NE side", "at the center"; "everywhere" for what has no place."""
    if not np.all(np.isfinite(at[:2])):
        return "everywhere"
    toward = wind(pier.frame, float(at[0]), float(at[1]))
    return "at the center" if toward == "center" else f"on the {toward} side"
