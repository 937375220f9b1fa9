"""What was tried, written into a copy of the site file, and read back before it counts as written."""

from __future__ import annotations

import os
import tempfile
from pathlib import Path
from typing import TYPE_CHECKING

from viewer.files import cannot_write, outputs
from viewer.given import COPY, inputs

if TYPE_CHECKING:
    from models.site import Site
    from models.spec.site import SiteSpec


def write_copy(file: Path, target: Path, drawn: Site, tried: Site) -> None:
    """Write a copy of a site file that says what was tried; see `models.changes.copying.copy_of`.

    Raises BadInput, and leaves nothing behind, where the target is there already, where the copy cannot be
    made, and where it does not read back as what was tried.
    """
    from models.changes.copying import copy_of

    if target.exists():
        raise cannot_write(target, "it is there already", "choose another name")
    with outputs(target, reads=inputs(file)) as out:
        data = copy_of(file, target.resolve().parent, drawn, tried)
        _read_back(data, target.resolve().parent, tried.spec)
        out.put(target, data)
    if target.read_bytes() != data:
        raise cannot_write(target, "what was written does not read back", "choose another place")


def _read_back(data: bytes, folder: Path, tried: SiteSpec) -> None:
    """Read the copy from where it is to stand, before it gets its name. Raises BadInput when it is wrong."""
    from models.changes.copying import check_copy

    handle, name = tempfile.mkstemp(prefix=".pierclear-", suffix=".part", dir=folder)
    try:
        with os.fdopen(handle, "wb") as beside:
            beside.write(data)
        check_copy(Path(name), tried)
    finally:
        Path(name).unlink()


def free_name(file: Path) -> Path:
    """Where a copy of a site file goes when nobody says: beside it, under a name that is not taken."""
    for number in range(1, 10_000):
        more = "" if number == 1 else f"-{number}"
        target = file.with_name(f"{file.stem}{COPY}{more}{file.suffix}")
        if not target.exists():
            return target
    raise cannot_write(file, "all names for copies are taken", "move some of them")
