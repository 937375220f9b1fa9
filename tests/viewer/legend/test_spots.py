"""One numbering: what the report calls 1 is 1 in the pictures and in the briefing."""

from __future__ import annotations

import re

from msgspec.structs import replace

from clash.judge import judge
from clash.report.findings import Level
from models.reading.loading import load_site
from tests.viewer.running import DEMO
from viewer.brief.cards import cards
from viewer.legend.spots import by_pier
from viewer.report.terminal import report_text


def test_report_briefing_and_pictures_number_alike() -> None:
    site = load_site(DEMO / "reedbank.yaml")
    report = judge(site)
    found = by_pier(report)
    assert [note.number for note in found["P12"]] == [1, 2, 3]
    assert {card.pier.mark: card.watch for card in cards(site, report) if card.watch} == found
    text = report_text(report, "reedbank.yaml", 400)
    block = text.split("\nPier P12\n")[1].split("\n\n")[0]
    told = re.findall(r"^  HOLD (\d)\s+(.*)$", block, re.MULTILINE)
    assert [(int(n), says) for n, says in told] == [(w.number, w.says) for w in found["P12"]]


def test_what_is_not_checked_comes_after_what_is_numbered_in_the_report() -> None:
    report = judge(load_site(DEMO / "reedbank.yaml"))
    own = [f for f in report.findings if f.pier == "P12"]
    missing = replace(own[0], id="x", level=Level.NOT_CHECKED, group="")
    levels = [note.level for note in by_pier(replace(report, findings=(*own, missing)))["P12"]]
    assert levels == ["HOLD", "HOLD", "HOLD", "NOT CHECKED"]


def test_a_fold_keeps_the_places_of_all_of_its_findings() -> None:
    report = judge(load_site(DEMO / "reedbank.yaml"))
    one = next(f for f in report.findings if f.pier == "P4")
    pair = (replace(one, group="g"), replace(one, id="y", group="g", at_mm=(1.0, 2.0, 3.0)))
    (note,) = by_pier(replace(report, findings=pair))["P4"]
    assert note.at == one.at_mm
    assert note.others == ((1.0, 2.0, 3.0),)
    assert note.says.endswith("(and 1 more like it)")
