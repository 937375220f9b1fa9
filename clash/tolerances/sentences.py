"""Whose tolerances are taken, and how, in sentences for the head of a report."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from fractions import Fraction
from math import isfinite

from clash.needs.need import RuleBook
from clash.report.wording import shown
from clash.tolerances.placed import FIELDS, Figure, editions, of_pier
from clash.tolerances.table import Row
from models.lengths import Units
from models.pier import Pier
from models.spec.placing import Tolerances
from models.spec.site import SiteSpec

_SET_BY = {
    "hand": "set by hand",
    "template": "set through a template",
    None: "set through the template where a seat has one, else by hand",
}


def how_taken(site: SiteSpec, book: RuleBook, units: Units) -> tuple[str, ...]:
    """The editions, how tolerances add up, and what is judged as drawn: one sentence each."""
    placing = site.placing
    rods, concrete = editions(placing, book)
    set_by = _SET_BY[placing.rods_set_by]
    asked = list(dict.fromkeys(placing.met_as_built))
    rest = [word for word in ("cover", "spacing", "length") if word not in asked]
    own = [
        f"{words} {_shown(value, units)}"
        for field, words in FIELDS.items()
        if (value := getattr(placing.tolerances, field)) is not None
    ]
    said = [
        f"Rods: {rods}, {set_by}. Bars and concrete: {concrete}.",
        f"Tolerances of two things add up as {_article(placing.combine)}, along one axis of the plan.",
        "Beams are drilled as the rods were measured: nothing is taken of the play in their holes."
        if placing.beams_drilled == "as measured"
        else "Beams are drilled as drawn, so what rods may be off is taken of the play in their holes.",
    ]
    if own:
        said.append(f"As the site file specifies (placing: tolerances): {', '.join(own)}.")
    if asked:
        said.append(f"As the site file asks (placing: met as built), taken also of: {', '.join(asked)}.")
    if rest:
        said.append(
            f"Judged as drawn, their placing tolerance being permitted by the code: {', '.join(rest)}."
        )
    return tuple(said)


def in_short(site: SiteSpec, book: RuleBook) -> str:
    """The same in a few words."""
    placing = site.placing
    whose = " and ".join(dict.fromkeys(editions(placing, book)))
    given = any(getattr(placing.tolerances, field) is not None for field in FIELDS)
    own = ", with the site's own" if given else ""
    return f"{whose}{own}; rods {_SET_BY[placing.rods_set_by]}; {placing.combine}"


def looser(site: SiteSpec, book: RuleBook, piers: Sequence[Pier], units: Units) -> tuple[str, ...]:
    """One sentence for each of the site's own tolerances that is less than any published one it replaces."""
    return tuple(_looser(site, book, piers, units))


def in_words(figure: Figure, units: Units) -> tuple[str, str]:
    """A tolerance as it is shown, and who says so."""
    shares = (
        "" if figure.share is None else f", at most {Fraction(figure.share).limit_denominator(100)} of it"
    )
    if not isfinite(figure.most):
        return f"{100.0 * (figure.share or 0.0):.0f} % of it", figure.source
    if figure.minus != figure.plus:
        return f"-{_shown(figure.minus, units)}", f"(+{_shown(figure.plus, units)}){shares} {figure.source}"
    return _shown(figure.most, units), f"{figure.source}{shares}"


def row_in_words(row: Row) -> tuple[str, str]:
    """A published tolerance in the units of its document, and what it is of."""
    units = Units.MM if row.metric else Units.FT_IN
    value, source = in_words(Figure(row.minus, row.plus, row.source, row.share), units)
    pair = f"{row.a} to {row.b}" if row.b else row.a
    over = f", over {_shown(row.over, units)}" if row.over > 0.0 else ""
    return value, f"{pair}, {row.along}{over}: {source}"


def _looser(site: SiteSpec, book: RuleBook, piers: Sequence[Pier], units: Units) -> Iterable[str]:
    fields = [field for field in FIELDS if getattr(site.placing.tolerances, field) is not None]
    if not fields:
        return
    plain = site.placing.model_copy(update={"tolerances": _editions_only(site.placing.tolerances)})
    without_own = [of_pier(pier, plain, book) for pier in piers]
    for field in fields:
        own: float = getattr(site.placing.tolerances, field)
        figures = [figure for pier in without_own if (figure := pier.published(field)) is not None]
        most = max(figures, key=lambda figure: figure.most, default=None)
        if most is not None and own < most.most - 1e-6 and isfinite(most.most):
            yield (
                f"Placing is taken to keep {FIELDS[field]} within {_shown(own, units)} (as specified, "
                f"placing: tolerances: {field.replace('_', ' ')}), less than the "
                f"{_shown(most.most, units)} of {most.source}."
            )


def _editions_only(own: Tolerances) -> Tolerances:
    return Tolerances.model_construct(rods=own.rods, concrete=own.concrete)


def _article(word: str) -> str:
    return "the worst case" if word == "worst case" else "the root of their squares"


def _shown(value: float, units: Units) -> str:
    return shown(value, None, units, "needed least")
