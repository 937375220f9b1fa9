"""Output files: written whole or not at all, and known to be writable before any work is done."""

from __future__ import annotations

import os
import shutil
from collections.abc import Iterator, Sequence
from contextlib import contextmanager, suppress
from pathlib import Path

from models.problems import BadInput, Place, Problem
from viewer import console

STANDARD_OUTPUT = Path("-")
"""As a file name: standard output."""


class Outputs:
    """The files that one command writes: all of them are put in place at the end, or none.

    Each is written to a file beside its target, which `os.replace` then moves over it. What isn't an ordinary
    file (`-`, a device, a pipe) is written last, directly.
    """

    def __init__(self) -> None:
        self._beside: dict[Path, Path | None] = {}
        self._ready: dict[Path, bytes] = {}

    def claim(self, target: Path) -> None:
        """Make sure that `target` can be written. Raises BadInput in one line when it can't."""
        with _telling(target, "close it where it is open, or choose another place"):
            if target == STANDARD_OUTPUT or (
                target.exists() and not target.is_file() and not target.is_dir()
            ):
                self._beside[target] = None
                return
            folder = target.resolve().parent
            if target.is_dir():
                raise cannot_write(target, "it is a folder", "name a file")
            if not folder.is_dir():
                why = f"there is no folder {folder.name}"
                raise cannot_write(target, why, "make the folder first, or choose another")
            self._beside[target] = _new_beside(target, folder)

    def put(self, target: Path, data: bytes) -> None:
        """Hand over the whole content of a claimed target."""
        self._ready[target] = data

    def finish(self) -> None:
        """Write everything that was put. Raises BadInput when the place turns out to be full."""
        for target, data in self._ready.items():
            beside = self._beside[target]
            if beside is None:
                continue
            with _telling(target):
                beside.write_bytes(data)
                _permissions(beside, target)
        for target in self._ready:
            beside = self._beside[target]
            if beside is None:
                continue
            with _telling(target):
                beside.replace(target.resolve())
        for target, data in self._ready.items():
            if self._beside[target] is not None:
                continue
            with _telling(target):
                if target == STANDARD_OUTPUT:
                    console.emit(data)
                else:
                    target.write_bytes(data)

    def drop(self) -> None:
        """Remove whatever was left beside the targets."""
        for beside in self._beside.values():
            if beside is not None:
                beside.unlink(missing_ok=True)


@contextmanager
def outputs(*targets: Path | None, reads: Sequence[Path] = ()) -> Iterator[Outputs]:
    """Claim every target (None is skipped), then write them all when the block ends well.

    reads: input files, which must not be written over. Raises BadInput when a target can't be used.
    """
    wanted = [t for t in targets if t is not None]
    problems: list[Problem] = []
    out = Outputs()
    try:
        for i, target in enumerate(wanted):
            try:
                _refuse_mixups(target, wanted[:i], reads)
                out.claim(target)
            except BadInput as bad:
                problems += bad.problems
        if problems:
            raise BadInput(problems)
        yield out
        out.finish()
    finally:
        out.drop()


@contextmanager
def made(target: Path) -> Iterator[None]:
    """The folder `target`, made if need be, and taken away again when the block leaves it empty.

    Raises BadInput when it can't be made.
    """
    with _telling(target):
        if target.exists() and not target.is_dir():
            raise cannot_write(target, "it is a file", "name a folder")
        if not target.resolve().parent.is_dir():
            why = f"there is no folder {target.resolve().parent.name}"
            raise cannot_write(target, why, "make that folder first, or choose another")
    new = not target.exists()
    with _telling(target):
        target.mkdir(exist_ok=True)
    try:
        yield
    finally:
        if new:
            with suppress(OSError):
                target.rmdir()  # refused where the folder holds files: then the block ended well


@contextmanager
def folder(target: Path) -> Iterator[Path]:
    """A folder to write into; its files are moved into `target` when the block ends well, else removed.

    Raises BadInput when `target` can't be written.
    """
    import tempfile

    with made(target):
        with _telling(target):
            beside = Path(tempfile.mkdtemp(prefix=".pierclear-", dir=target))
        try:
            yield beside
            for file in sorted(p for p in beside.rglob("*") if p.is_file()):
                final = target / file.relative_to(beside)
                with _telling(final):
                    final.parent.mkdir(parents=True, exist_ok=True)
                    file.replace(final)
        finally:
            shutil.rmtree(beside, ignore_errors=True)


def cannot_write(target: Path, why: str, instead: str) -> BadInput:
    """The one line for an output that can't be written."""
    return BadInput([Problem(Place(str(target)), f"can't be written: {why}", instead)])


def _refuse_mixups(target: Path, earlier: Sequence[Path], reads: Sequence[Path]) -> None:
    if target in earlier or (
        target != STANDARD_OUTPUT and target.resolve() in {e.resolve() for e in earlier}
    ):
        what = "standard output" if target == STANDARD_OUTPUT else "it"
        raise cannot_write(target, f"{what} is asked for twice", "give each output its own file")
    if target != STANDARD_OUTPUT and target.resolve() in {r.resolve() for r in reads}:
        raise cannot_write(target, "the site is read from it", "choose another name")


def _new_beside(target: Path, folder: Path) -> Path:
    """A new empty file beside `target`, which can itself be written if it's there. Raises OSError."""
    import tempfile

    if target.exists():
        target.open("r+b").close()
    handle, name = tempfile.mkstemp(prefix=".pierclear-", suffix=".part", dir=folder)
    os.close(handle)
    return Path(name)


@contextmanager
def _telling(target: Path, instead: str = "make room, or choose another place") -> Iterator[None]:
    """Turn an OSError of the block into the one line about `target`."""
    try:
        yield
    except OSError as error:
        raise cannot_write(target, (error.strerror or str(error)).lower(), instead) from error


def _permissions(beside: Path, target: Path) -> None:
    """The rights of the file it replaces, or of any new file here (mkstemp makes it the owner's alone)."""
    if target.exists():
        shutil.copymode(target, beside)
    else:
        mask = os.umask(0)
        os.umask(mask)
        beside.chmod(0o666 & ~mask)
