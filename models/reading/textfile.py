"""Files from disk with a limit on their size, and the text in them whatever Windows did to it."""

from __future__ import annotations

from pathlib import Path

from models.problems import BadInput, Place, Problem

LARGEST = 5_000_000
"""bytes: a site file or schedule of thousands of piers has less than this."""


def bytes_of(path: Path, what: str) -> bytes:
    """The bytes of a file of at most LARGEST bytes; `what` is it in words, like "site file".

    Raises BadInput when it is missing, no plain file, too large (seen before reading) or not readable.
    """
    place = Place(path.name or str(path))
    try:
        if path.is_dir():
            raise BadInput([Problem(place, f"this is a folder, not a {what}", "give the file in it")])
        if not path.exists():
            raise BadInput([Problem(place, f"there is no such {what}", f"looked for {path}")])
        if not path.is_file():
            raise BadInput([Problem(place, f"this is no plain file, so no {what}")])
        size = path.stat().st_size
        if size > LARGEST:
            wrong = f"the file has {size / 1e6:.0f} MB, and a {what} has at most {LARGEST / 1e6:.0f} MB"
            raise BadInput([Problem(place, wrong, "check that this is the right file")])
        return path.read_bytes()
    except (OSError, ValueError) as error:  # ValueError: a path that no system takes
        reason = error.strerror if isinstance(error, OSError) and error.strerror else "not a path"
        raise BadInput([Problem(place, f"the {what} cannot be read ({reason.lower()})")]) from None


def text_of(data: bytes, file: str, what: str) -> str:
    """The text in bytes: UTF-8 with or without its mark, UTF-16 with its mark, or else Windows-1252.

    Raises BadInput when there is nothing in it, or what is in it is no text, or a PDF.
    """
    if not data.strip():
        raise BadInput([Problem(Place(file), f"the file is empty, so no {what}")])
    if data.lstrip().startswith(b"%PDF-"):
        wrong = f"this is a PDF, no {what}"
        raise BadInput([Problem(Place(file), wrong, f"give the {what} itself")])
    binary = Problem(Place(file), f"this is no text, so no {what}", "check that this is the right file")
    try:
        mark, codec = coding_of(data)
        text = data[len(mark) :].decode(codec)
    except UnicodeDecodeError:
        raise BadInput([binary]) from None
    if "\0" in text:
        raise BadInput([binary])
    if not text.strip():
        raise BadInput([Problem(Place(file), f"the file is empty, so no {what}")])
    return text


def coding_of(data: bytes) -> tuple[bytes, str]:
    """How a text is stored: the mark of its encoding that it begins with (or nothing), and the encoding."""
    for mark, codec in ((b"\xff\xfe", "utf-16-le"), (b"\xfe\xff", "utf-16-be"), (b"\xef\xbb\xbf", "utf-8")):
        if data.startswith(mark):
            return mark, codec
    try:
        data.decode("utf-8")
    except UnicodeDecodeError:
        return b"", "cp1252"
    return b"", "utf-8"
