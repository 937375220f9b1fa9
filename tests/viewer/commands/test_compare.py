"""The command `compare`: words and exit codes."""

from __future__ import annotations

from pathlib import Path

import pytest

from tests.support import shop_drawings
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


def _assumed(out: str) -> str:
    """The words under `Taken for granted`, on one line."""
    return " ".join(out.partition("Taken for granted")[2].split())


def test_what_it_took_for_granted_is_said(run: Run, tmp_path: Path) -> None:
    document, space = shop_drawings.new()
    shop_drawings.square(space, layer="EDGE")
    shop_drawings.square(space, at=(30.0, 0.0), layer="EDGE")
    shop_drawings.circles(space, [*shop_drawings.FOUR, (50.0, 50.0, 1.0)])
    document.layers.add("OLD").off()
    space.add_circle((0.0, 0.0), 0.5, dxfattribs={"layer": "OLD"})
    document.saveas(tmp_path / "shop.dxf")
    code, out, _ = run("compare", DEMO, tmp_path / "shop.dxf")
    said = _assumed(out)
    assert code == 0
    for one in (
        "Unit: inches, as its header says; an outline has the size of a plate to prove it.",
        "off or frozen, and left out: OLD.",
        "Outline: 1'-0\" by 1'-0\", on layer EDGE; every circle in it is a hole.",
        "Left out: 1 circle outside of the outline.",
        "Left out: 1 more outline of a plate's size, without a circle in it.",
        # 1/16 and 1/64 in, in thousandths
        '0.063" (holes), 0.016" (diameters), 0.063" (outline)',
    ):
        assert one in said, one


def test_an_option_against_the_header_is_said(run: Run, tmp_path: Path) -> None:
    document, space = shop_drawings.new(4)
    shop_drawings.square(space)
    shop_drawings.circles(space)
    document.saveas(tmp_path / "shop.dxf")
    _, out, _ = run("compare", DEMO, tmp_path / "shop.dxf", "--unit", "in", "--layer", "0")
    assert "Unit: inches, as --unit says; its header says mm; an outline" in _assumed(out)
    assert "Layers: 0 alone, as --layer says." in _assumed(out)


def test_without_an_outline_nothing_proves_the_unit(run: Run, tmp_path: Path) -> None:
    document, space = shop_drawings.new()
    shop_drawings.circles(space)
    document.saveas(tmp_path / "shop.dxf")
    _, out, _ = run("compare", DEMO, tmp_path / "shop.dxf")
    assert "no outline has the size of a plate to prove it" in _assumed(out)
    assert "Outline: none is closed" in _assumed(out)


def test_a_file_that_was_cut_off_is_one_line(run: Run, tmp_path: Path) -> None:
    document, space = shop_drawings.new()
    shop_drawings.square(space)
    shop_drawings.circles(space)
    document.saveas(tmp_path / "shop.dxf")
    whole = (tmp_path / "shop.dxf").read_bytes()
    for share in (0.3, 0.6, 0.95):
        (tmp_path / "cut.dxf").write_bytes(whole[: int(share * len(whole))])
        code, out, err = run("compare", DEMO, tmp_path / "cut.dxf")
        assert (code, out, len(err.splitlines())) == (2, "", 1)
        assert "ends in the middle" in err
    (tmp_path / "tail.dxf").write_bytes(whole.rstrip() + b"\r\n\x1a")
    assert run("compare", DEMO, tmp_path / "tail.dxf")[0] == 0


def test_a_binary_dxf_is_read_as_well(run: Run, tmp_path: Path) -> None:
    document, space = shop_drawings.new()
    shop_drawings.square(space)
    shop_drawings.circles(space)
    document.saveas(tmp_path / "shop.dxf", fmt="bin")
    code, out, err = run("compare", DEMO, tmp_path / "shop.dxf")
    assert (code, err) == (0, "")
    assert "All 4 holes are there" in out
    (tmp_path / "cut.dxf").write_bytes((tmp_path / "shop.dxf").read_bytes()[:5000])
    code, out, err = run("compare", DEMO, tmp_path / "cut.dxf")
    assert (code, out, len(err.splitlines())) == (2, "", 1)
