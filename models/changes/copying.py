"""A copy of a site file in which single piers differ, all else to the last byte as it was."""

from __future__ import annotations

import os
from collections.abc import Sequence
from pathlib import Path

from models.changes.differences import differences
from models.changes.yaml_text import BY_MARK, CannotEdit, Edit, Tree, Written, YamlText, scalar
from models.problems import BadInput, Place, Problem
from models.reading.site_file import read_site_file
from models.reading.textfile import bytes_of, coding_of
from models.site import Site
from models.spec.site import SiteSpec


def copy_of(file: Path, folder: Path, drawn: Site, tried: Site) -> bytes:
    """The bytes of a copy of a site file that says what was tried.

    file: the site file that `drawn` was read from; folder: where the copy will stand, from where it has to
    find the schedule; tried: the same site with single piers changed. Piers of the file differ where they
    stand, those of a schedule under `differences`; never their kind. Raises BadInput with one line when the
    file is no longer what was read, or shares by an alias what is to differ.
    """
    if read_site_file(file).sha256 != drawn.sha256:
        wrong = "it has been changed since it was read"
        raise BadInput([Problem(Place(file.name), wrong, "open it again, then try your changes")])
    data = bytes_of(file, "site file")
    mark, codec = coding_of(data)
    written = YamlText.of(data[len(mark) :].decode(codec))
    units = drawn.units
    changed = {
        now.mark: differences(was.spec, now.spec, units)
        for was, now in zip(drawn.piers, tried.piers, strict=True)
        if was.spec != now.spec
    }
    try:
        edits = _edits(written, changed, os.path.relpath(file.resolve().parent, folder.resolve()))
        text = written.edited(edits)
        return mark + text.encode(codec)
    except CannotEdit as error:
        wrong = f"the change cannot be written into a copy: {error}"
        raise BadInput(
            [Problem(Place(file.name, error.line), wrong, "write the fields out there, and try again")]
        ) from None
    except (UnicodeEncodeError, ValueError) as error:  # another encoding, or another drive under Windows
        wrong = "its schedule cannot be named from where the copy is to stand"
        raise BadInput([Problem(Place(file.name), wrong, "put the copy beside the site file")]) from error


def check_copy(copy: Path, tried: SiteSpec) -> None:
    """Read a copy back. Raises BadInput unless it says the very same as what was tried."""
    wrong = "the copy does not read back as what was tried, so it is not written"
    instead = "write the change into the site file by hand"
    try:
        same = read_site_file(copy).spec == tried
    except BadInput as error:
        raise BadInput([Problem(Place(copy.name), wrong, instead), *error.problems]) from None
    if not same:
        raise BadInput([Problem(Place(copy.name), wrong, instead)])


def _edits(written: YamlText, changed: dict[str, Tree], way: str) -> list[Edit]:
    piers = written.root.get("piers")
    assert piers is not None  # the file has been read
    if piers.what == "alias":
        raise CannotEdit(f"*{piers.anchor} stands here for what is written elsewhere", piers.line)
    if piers.what == "list":
        return [
            edit for mark, tree in changed.items() for edit in written.edits(_of(mark, piers.items), tree)
        ]
    fields: dict[str, str | Tree] = {BY_MARK: changed}
    schedule = piers.get("schedule")
    assert schedule is not None
    if way != ".":
        fields["schedule"] = scalar((Path(way) / schedule.value).as_posix())
    return list(written.edits(piers, fields))


def _of(mark: str, piers: Sequence[Written]) -> Written:
    """The pier of this mark in a list of piers. Raises CannotEdit for one that is written elsewhere."""
    for pier in piers:
        own = pier.get("mark")
        if own is not None and own.value == mark:
            return pier
    line = next((pier.line for pier in piers if pier.what == "alias"), piers[0].line)
    raise CannotEdit(f"pier {mark} stands here only by its alias", line)
