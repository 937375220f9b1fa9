"""A new rule or rule book is one new file; both books judge a site through the same rules."""

from __future__ import annotations

import sys
from collections.abc import Iterator
from pathlib import Path

import pytest

import clash.books
import clash.rules
from clash.books import books
from clash.gap_table import Face
from clash.report.findings import Level
from clash.rule import rules
from models.part import Exit, Role
from tests.support.placing import not_of_placing
from tests.support.tiny import bar, expect, judged, only, rod, site, tie, vertical

OFF = pytest.mark.parametrize(("off", "holds"), [(-0.5, True), (0.0, False), (0.5, False)])
METRIC = {"concrete": {"aggregate": 20.0, "exposure": "marine splash"}}


@pytest.fixture(name="folder")
def _folder(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Iterator[Path]:
    """A folder that counts as a part of both packages for one test."""
    for package in (clash.books, clash.rules):
        monkeypatch.setattr(package, "__path__", [*package.__path__, str(tmp_path)])
    books.cache_clear()
    rules.cache_clear()
    before = set(sys.modules)
    yield tmp_path
    for name in set(sys.modules) - before:
        del sys.modules[name]
    books.cache_clear()
    rules.cache_clear()


def test_a_third_book_is_a_folder(folder: Path) -> None:
    (folder / "third").mkdir()
    (folder / "third" / "__init__.py").write_text(
        "from clash.books.aci_318_19 import Aci31819\n\n\n"
        "class Third(Aci31819):\n    id = 'third'\n\n\nBOOK = Third()\n"
    )
    assert set(books()) == {"aci-318-19", "en-1992", "third"}


def test_a_new_rule_is_a_file(folder: Path) -> None:
    (folder / "none_at_all.py").write_text(
        "from clash.rule import DoesNotApply, rule\n\n\n"
        "@rule(id='none at all', title='nothing', source='nobody')\n"
        "def none_at_all(view):\n    yield DoesNotApply('nothing to see')\n"
    )
    report = judged(site([vertical(1)]))
    assert report.does_not_apply["none at all"] == "nothing to see"


def test_two_rules_with_one_id_are_a_fault(folder: Path) -> None:
    for name in ("one", "other"):
        (folder / f"{name}.py").write_text(
            "from clash.rule import rule\n\n\n"
            "@rule(id='twice', title='t', source='s')\ndef twice(view):\n    return []\n"
        )
    with pytest.raises(AssertionError, match="twice"):
        rules()


@OFF
def test_en_spacing(off: float, holds: bool) -> None:
    # EN 1992-1-1 8.2(2): max(20, 20 + 5, 20) = 25 mm.
    parts = [vertical(1, diameter=20.0), vertical(2, diameter=20.0)]
    built = site(parts, pier=METRIC, rules="en-1992")
    expect(judged(built, [("P1/vertical/1", "P1/vertical/2", 25.0 + off)]), "bar spacing", holds)


@pytest.mark.parametrize(
    ("measured", "level"),
    [
        (44.5, Level.HOLD),
        (45.0, Level.TIGHT),
        (45.5, Level.TIGHT),
        (54.5, Level.TIGHT),
        (55.0, None),
        (55.5, None),
    ],
)
@pytest.mark.parametrize("specified", [None, 55.0])
def test_en_cover_is_nominal_and_its_deviation_is_what_placing_may_take(
    measured: float, level: Level | None, specified: float | None
) -> None:
    # Table 4.4N, S4, XS3: c_min 45; 4.4.1.1 and 4.4.1.3: nominal 45 + 10 mm deviation. What drawings specify
    # is nominal.
    concrete = METRIC["concrete"] | {"cover": {"side": specified}}
    report = judged(
        site([tie(1)], pier={"concrete": concrete}, rules="en-1992"), [("P1/tie/1", Face.SIDE, measured)]
    )
    found = only(report, "cover")
    assert [f.level for f in found] == ([] if level is None else [level])
    for one in found:
        assert (one.required_mm, one.tolerance_mm) == (45.0, 10.0)
        assert "45.0 mm needed" in one.says
        assert "55.0 mm nominal" in one.says
        assert one.reserve_mm == pytest.approx(measured - 55.0)
        assert ("placing may take 10.0 mm of it" in one.says) is (level is Level.TIGHT)
    assert not_of_placing(report.overrides) == ()


@pytest.mark.parametrize(
    ("measured", "level"), [(64.5, Level.HOLD), (65.0, Level.TIGHT), (74.5, Level.TIGHT), (75.0, None)]
)
def test_en_cover_specified_for_a_grade_beam_is_nominal_too(measured: float, level: Level | None) -> None:
    beam = {"name": "GB1", "start": [-2000, 0], "end": [2000, 0], "width": 600, "top": -1000, "depth": 600}
    dowel = bar("P1/dowel/1", Role.DOWEL, low=-1300.0, high=-400.0, exits=[Exit.BOTTOM])
    extra = {"grade_beams": [beam | {"cover": 75.0}]}
    built = site([dowel], pier=METRIC, rules="en-1992", grade_beam="GB1/grade-beam", extra=extra)
    report = judged(built, [("P1/dowel/1", Face.GRADE_SIDE, measured)])
    assert [f.level for f in only(report, "grade beam cover")] == ([] if level is None else [level])


def test_en_says_nothing_of_rods_unless_the_site_does() -> None:
    parts = [rod(1), rod(2, 60.0)]
    report = judged(site(parts, pier=METRIC, rules="en-1992"))
    assert "has no figure for it" in report.does_not_apply["rod spacing"]
    assert report.rule_book.startswith("EN 1992-1-1")
    asked = judged(site(parts, pier=METRIC | {"required": {"rod_spacing": 80.0}}, rules="en-1992"))
    (found,) = only(asked, "rod spacing")
    assert found.required_mm == 80.0
    assert found.source == "as specified, required: rod spacing"
    assert not_of_placing(asked.overrides) == ()


def test_an_embed_that_no_book_knows_is_not_checked_and_the_site_decides() -> None:
    conduit = bar("P1/embed/conduit", Role.EMBED, diameter=27.0, label="conduit")
    report = judged(site([conduit], pier=METRIC), [("P1/embed/conduit", Face.SIDE, 5.0)])
    assert {f.id for f in report.findings} == {
        f"cover:P1:concrete.cover.{face}" for face in ("side", "top", "bottom")
    }
    out = judged(site([conduit], pier=METRIC), [("P1/embed/conduit", Face.SIDE, -5.0)])
    assert "cover:P1/embed/conduit:P1/concrete/side" in {f.id for f in out.findings}
    cover = {"side": 50.0, "top": 50.0, "bottom": 50.0}
    told = judged(
        site([conduit], pier={"concrete": {"cover": cover}}), [("P1/embed/conduit", Face.SIDE, 50.0)]
    )
    assert told.findings == ()
    assert told.clear["cover"] == 3
    assert not_of_placing(told.overrides) == ()
