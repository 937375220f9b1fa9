"""Words in pixels: how wide they are, and where their lines break."""

from __future__ import annotations

from functools import lru_cache


@lru_cache(maxsize=8192)
def width(text: str, size: int, bold: bool = False) -> int:
    """Pixels that a text takes across."""
    from vtkmodules.vtkRenderingCore import vtkTextProperty
    from vtkmodules.vtkRenderingFreeType import vtkFreeTypeTools

    style = vtkTextProperty()
    style.SetFontFamilyToArial()
    style.SetFontSize(size)
    style.SetBold(bold)
    if not text:
        return 0
    box = [0, 0, 0, 0]
    vtkFreeTypeTools.GetInstance().GetBoundingBox(style, text, 72, box)
    return int(box[1] - box[0])


def wrapped(text: str, size: int, room: int, bold: bool = False) -> list[str]:
    """Lines no wider than `room` pixels, broken between words; a word that is wider stands alone."""
    lines: list[str] = []
    for word in text.split():
        longer = f"{lines[-1]} {word}" if lines else word
        if lines and width(longer, size, bold) <= room:
            lines[-1] = longer
        else:
            lines.append(word)
    return lines


def cut(text: str, size: int, room: int, bold: bool = False) -> str:
    """The text, or as much of it as fits, with three dots."""
    if width(text, size, bold) <= room:
        return text
    while text and width(text + "...", size, bold) > room:
        text = text[:-1]
    return text.rstrip() + "..."
