"""The command in this process, and a site to run it on."""

from __future__ import annotations

import sys
from pathlib import Path

import pytest

from tests.viewer.running import START, Run
from viewer import cli


@pytest.fixture
def run(capsys: pytest.CaptureFixture[str], monkeypatch: pytest.MonkeyPatch) -> Run:
    """Run the command in this process: exit code, standard output, standard error."""

    def command(*arguments: object) -> tuple[int, str, str]:
        monkeypatch.setattr(sys, "argv", ["pierclear", *map(str, arguments)])
        capsys.readouterr()
        with pytest.raises(SystemExit) as end:
            cli.main()
        said = capsys.readouterr()
        return (int(end.value.code or 0), said.out, said.err)

    return command


@pytest.fixture
def site(tmp_path: Path) -> Path:
    """The site to begin with, alone in a folder."""
    file = tmp_path / "site.yaml"
    file.write_bytes(START.read_bytes())
    return file
