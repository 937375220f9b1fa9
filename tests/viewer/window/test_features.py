"""Features are found by their names, and no two want one key."""

from __future__ import annotations

import subprocess
import sys
from pathlib import Path

import pytest

import viewer.window.features
from tests.viewer.running import ROOT
from viewer.window.feature import Command, Feature, _by_key, commands, features


def test_every_module_is_a_feature_on_the_card() -> None:
    folder = Path(viewer.window.features.__path__[0])
    assert len(features()) == len([p for p in folder.glob("*.py") if p.stem != "__init__"])
    assert all(command.words and command.shown for feature in features() for command in feature.commands)
    assert {"space", "h", "q", "t", "0"} <= set(commands())


def test_two_features_cannot_have_one_key() -> None:
    twice = [Feature(name, (Command(("x",), "x", "does", print),)) for name in ("a", "b")]
    with pytest.raises(ValueError, match="two commands want the key x"):
        _by_key(twice)


def test_the_command_line_loads_no_window_before_it_is_asked_for() -> None:
    code = (
        "import viewer.cli, viewer.window, sys; print('pyvista' in sys.modules, 'vtkmodules' in sys.modules)"
    )
    said = subprocess.run([sys.executable, "-c", code], cwd=ROOT, capture_output=True, text=True, check=True)
    assert said.stdout.split() == ["False", "False"]
