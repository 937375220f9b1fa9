"""The command `compare`: words and exit codes."""

from __future__ import annotations

from pathlib import Path

import pytest

from tests.support.shop_drawings import FOUR, drawing
from tests.viewer.running import DEMO, Run


def test_a_plate_as_specified_ends_with_0(run: Run, tmp_path: Path) -> None:
    code, out, err = run("compare", DEMO, drawing(tmp_path))
    assert (code, err) == (0, "")
    assert "shop.dxf against plate PL1" in out
    assert "no structural design" in out
    assert "0 on HOLD, 0 NOT CHECKED." in out


def test_a_difference_ends_with_1(run: Run, tmp_path: Path) -> None:
    code, out, _ = run("compare", DEMO, drawing(tmp_path, FOUR[1:]))
    assert code == 1
    assert "Hole 1 (SW) is missing." in out


def test_tight_alone_ends_with_0(run: Run, tmp_path: Path) -> None:
    code, out, _ = run("compare", DEMO, drawing(tmp_path), "--rods-off", '1/8"', "--plate", "P13")
    assert code == 0
    assert "TIGHT" in out


@pytest.mark.parametrize(
    ("options", "says"),
    [
        (("--unit", "furlong"), "--unit: furlong is no unit here; write one of in, ft, mm, cm, m"),
        (("--rods-off", "wide"), "--rods-off: wide is not a length"),
        (("--rods-off", '-1"'), "--rods-off: -1"),
        (("--plate", "PL9"), "--plate: there is no plate PL9"),
        (("--layer", "none"), "shop.dxf: nothing is drawn on a layer none"),
    ],
)
def test_wrong_options_are_one_line_and_end_with_2(
    run: Run, tmp_path: Path, options: tuple[str, str], says: str
) -> None:
    code, out, err = run("compare", DEMO, drawing(tmp_path), *options)
    assert (code, out) == (2, "")
    assert err.startswith(says)
    assert len(err.splitlines()) == 1


def test_a_site_without_plates_has_nothing_to_compare(run: Run, site: Path, tmp_path: Path) -> None:
    text = site.read_text()
    assert "plate:" in text
    code, _, err = run("compare", site, tmp_path / "none.dxf")
    assert code == 2
    assert err == "none.dxf: there is no such drawing; check its name\n"
