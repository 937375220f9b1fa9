"""`pierclear check --since OLD.json`: an earlier report read back, and what changed since in words."""

from __future__ import annotations

import json
import math
from collections.abc import Iterator, Sequence
from pathlib import Path
from typing import TYPE_CHECKING, Any

from clash.report.findings import Level
from models.problems import BadInput, Place, Problem
from viewer.wording.fold import folded, named

if TYPE_CHECKING:
    from clash.report.findings import Finding
    from clash.report.since import Earlier, EarlierReport, Since
    from viewer.report.page import Page

_HANG = 15
"""Columns before a sentence: two, and room for a word; as in the report."""


def earlier_report(path: Path) -> EarlierReport:
    """A report that `pierclear check --json` wrote. Raises BadInput, one line, for anything else."""
    from clash.report.since import EarlierReport

    try:
        content = json.loads(path.read_bytes().decode("utf-8-sig"))
    except OSError as error:
        why = (error.strerror or str(error)).lower()
        raise _unusable(path, f"the earlier report can't be read: {why}") from error
    except (ValueError, RecursionError) as error:
        raise _unusable(path, "is no JSON") from error
    if not isinstance(content, dict) or not isinstance(content.get("findings"), list):
        raise _unusable(path, "holds no findings")
    if content.get("version") != 1:
        raise _unusable(path, f"is of version {str(content.get('version'))[:20]}, not 1")
    found = tuple(_finding(path, i, row) for i, row in enumerate(content["findings"]))
    if len({finding.id for finding in found}) != len(found):
        raise _unusable(path, "has one finding twice")
    return EarlierReport(path.name, _text(content.get("site")), _text(content.get("input_sha256")), found)


def since_lines(since: Since, page: Page, units: str) -> Iterator[str]:
    """What changed, most pressing first."""
    old = since.earlier
    yield ""
    yield from page.bold(f"Since {old.file} ({old.site or 'no site named'}, sha256 {old.input_sha256[:12]})")
    yield from page.wrapped("  ", counts(since) + ".")
    changed = (("WORSE", "red", since.worse), ("BETTER", "blue", since.better))
    for word, color, pairs in changed:
        told = [(now.pier, f"{now.level}: {now.says} It was {_was(was, units)}.") for now, was in pairs]
        yield from _lines(page, word, color, told)
    told = [
        (fold.worst.pier, f"{fold.worst.level}: {fold.worst.says}{f' ({fold.more})' if fold.more else ''}")
        for fold in folded(since.new)
    ]
    yield from _lines(page, "NEW", "red", told)
    yield from _lines(
        page, "GONE", "faint", [(gone.pier, f"{gone.level}: {gone.says}") for gone in since.gone]
    )


def counts(since: Since) -> str:
    """`1 new, 2 gone, 0 better, 1 worse, 9 as they were`."""
    return (
        f"{len(since.new)} new, {len(since.gone)} gone, {len(since.better)} better, "
        f"{len(since.worse)} worse, {since.same} as they were"
    )


def since_json(since: Since) -> dict[str, Any]:
    """The comparison as JSON: ids, and what was measured."""
    return {
        "file": since.earlier.file,
        "site": since.earlier.site,
        "input_sha256": since.earlier.input_sha256,
        "new": [finding.id for finding in since.new],
        "gone": [
            {"id": gone.id, "level": str(gone.level), "pier": gone.pier, "says": gone.says}
            for gone in since.gone
        ],
        "better": [_pair(*pair) for pair in since.better],
        "worse": [_pair(*pair) for pair in since.worse],
        "same": since.same,
    }


def _pair(finding: Finding, was: Earlier) -> dict[str, Any]:
    from viewer.report.json_out import number

    return {
        "id": finding.id,
        "level": str(finding.level),
        "was_level": str(was.level),
        "measured_mm": number(finding.measured_mm),
        "was_measured_mm": was.measured_mm,
    }


def _lines(page: Page, word: str, color: str, told: Sequence[tuple[str, str]]) -> Iterator[str]:
    """Sentences with the piers that they are about; piers of which the same is told share one."""
    piers: dict[str, list[str]] = {}
    for pier, text in told:
        piers.setdefault(text, []).append(_text(pier))
    lead = f"  {page.ink(word, color)}{'':<{_HANG - 2 - len(word)}}"
    for text, marks in piers.items():
        at = named(list(dict.fromkeys(marks)))
        yield from page.wrapped(lead, f"{at}: {text}" if at else text, _HANG)


def _was(was: Earlier, units: str) -> str:
    from clash.report.wording import shown
    from models.lengths import Toward, Units

    toward: Toward = "measured most" if was.limit == "most" else "measured least"
    figure = was.measured_mm if was.unit is None else was.measured
    known = "" if figure is None else f" at {shown(figure, was.unit, Units(units), toward)}"
    return f"{was.level}{known}"


def _finding(path: Path, i: int, row: Any) -> Earlier:
    from clash.report.since import Earlier

    whole = isinstance(row, dict) and all(isinstance(row.get(key), str) for key in ("id", "level", "pier"))
    if not whole or row["level"] not in list(Level) or row.get("limit") not in (None, "least", "most"):
        raise _unusable(path, f"finding {i + 1} in it is none")
    numbers = {
        key: _number(row.get(key))
        for key in ("measured_mm", "required_mm", "reserve_mm", "measured", "required")
    }
    unit = row.get("unit")
    return Earlier(
        row["id"],
        Level(row["level"]),
        row["pier"],
        _text(row.get("says")),
        row.get("limit"),
        **numbers,
        unit=unit if isinstance(unit, str) else None,
    )


def _number(value: Any) -> float | None:
    if isinstance(value, bool) or not isinstance(value, int | float):
        return None
    try:
        return float(value) if math.isfinite(value) else None
    except OverflowError:
        return None


def _text(value: Any) -> str:
    """One line of printable letters, whatever the file holds."""
    text = " ".join(value.split()) if isinstance(value, str) else ""
    return "".join(letter if letter.isprintable() else "?" for letter in text)


def _unusable(path: Path, wrong: str) -> BadInput:
    instead = "name a file that pierclear check --json wrote"
    return BadInput([Problem(Place(str(path)), wrong, instead)])
