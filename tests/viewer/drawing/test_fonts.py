"""Letters outside of western Europe: set in a font that has them, as wide as they are drawn."""

from __future__ import annotations

import io
import os
import subprocess
import sys
from pathlib import Path

import pytest
from PIL import ImageFont
from pypdf import PdfReader

from viewer.drawing import fonts
from viewer.drawing.dxf import dxf
from viewer.drawing.fonts import setting
from viewer.drawing.letters import reach, width
from viewer.drawing.page import Draft
from viewer.drawing.pdf import pdf

SOME = (
    "Stacja badawcza \u0141\u0119g, filar \u0106wiartka",  # Polish
    "\u03a3\u03c4\u03b1\u03b8\u03bc\u03cc\u03c2 \u03b2\u03ac\u03bb\u03c4\u03bf\u03c5",  # Greek
    "\u0421\u0442\u0430\u043d\u0446\u0438\u044f \u043d\u0430 \u043c\u044b\u0441\u0435",  # Cyrillic
)


def _font(bold: bool) -> ImageFont.FreeTypeFont:
    import matplotlib

    name = "DejaVuSans-Bold.ttf" if bold else "DejaVuSans.ttf"
    return ImageFont.truetype(str(Path(matplotlib.get_data_path(), "fonts", "ttf", name)), 2048)


def _pdf(*lines: str) -> bytes:
    draft = Draft(200.0, 100.0)
    for n, words in enumerate(lines):
        draft.write(10.0, 80.0 - 10.0 * n, words, 3.0, bold=n % 2 == 1)
    return pdf([draft.page()], "letters")


@pytest.mark.parametrize("words", SOME)
def test_a_pdf_has_the_letters_and_they_can_be_read_back(words: str) -> None:
    page = PdfReader(io.BytesIO(_pdf(words))).pages[0]
    assert words in page.extract_text()
    assert any("DejaVuSans" in str(f.get_object()["/BaseFont"]) for f in page["/Resources"]["/Font"].values())


def test_what_western_letters_do_is_unchanged() -> None:
    for words in ("Top of concrete 6'-0\"", "na\u00efve \u00c5ngstr\u00f6m 12\u00b0 \u2013 \u00bd"):
        assert setting(words, False).font == "Helvetica"
        assert setting(words, False).words == words
    assert b"DejaVu" not in _pdf("P1 to P6")


@pytest.mark.parametrize("bold", [False, True])
@pytest.mark.parametrize("words", SOME)
def test_widths_follow_the_font(words: str, bold: bool) -> None:
    # FreeType measures the same file; without kerning, which reportlab does not do either.
    font = _font(bold)
    height = -font.getbbox("H", anchor="ls")[1]
    known = sum(font.getlength(c) for c in words) * 2.5 / height
    assert width(words, 2.5, bold) == pytest.approx(known, rel=2e-3)


@pytest.mark.parametrize("bold", [False, True])
def test_no_stroke_leaves_the_box_of_its_words(bold: bool) -> None:
    font = _font(bold)
    capital = -font.getbbox("H", anchor="ls")[1]
    for words in (*SOME, "\u015a\u0179\u011a\u0150", "\u0105\u0163gjpq", "\u0386\u03ab"):
        _, top, _, foot = font.getbbox(words, anchor="ls")
        below, above = reach(words, 1.0, bold)
        assert -top / capital <= above
        assert foot / capital <= below


def test_an_accent_written_after_its_letter_is_the_letter_with_it() -> None:
    assert setting("Cafe\u0301", False).words == "Caf\u00e9"
    assert setting("Cafe\u0301", False).font == "Helvetica"


def test_a_letter_that_no_font_has_is_a_question_mark() -> None:
    assert setting("\u6e7f\u5730 \u0141", False).words == "?? \u0141"  # no Chinese in DejaVu Sans


def test_without_that_font_letters_are_question_marks(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(fonts, "find_spec", lambda name: None)
    fonts._wide.cache_clear()
    try:
        assert setting("\u0141\u0119g", False).words == "??g"
        assert setting("\u0141\u0119g", False).font == "Helvetica"
    finally:
        fonts._wide.cache_clear()


def test_a_dxf_has_them_as_they_are() -> None:
    draft = Draft(200.0, 100.0)
    draft.write(10.0, 50.0, SOME[0])
    assert SOME[0] in dxf(draft.page()).decode()


def test_matplotlib_is_not_loaded_for_its_font() -> None:
    code = (
        "import sys; from viewer.drawing.fonts import setting; "
        "print(setting('\\u0141', True).font, 'matplotlib' in sys.modules)"
    )
    done = subprocess.run(
        [sys.executable, "-c", code],
        capture_output=True,
        text=True,
        env={**os.environ, "PYTHONPATH": os.pathsep.join(sys.path)},
        check=True,
    )
    assert done.stdout.split() == ["DejaVuSans-Bold", "False"]
