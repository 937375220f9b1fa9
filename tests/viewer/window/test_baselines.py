"""Two pictures of the real window against ones that were looked at: colors, light, places, words.

Compared at a quarter of their size, because drivers differ in how they smooth an edge. To make them anew run
with PIERCLEAR_NEW_BASELINES=1, and look at each before it is committed.
"""

from __future__ import annotations

import os
from collections.abc import Iterator
from pathlib import Path

import numpy as np
import pytest
from PIL import Image

from tests.support.screen import ROOT, Hands

DEMO = ROOT / "models" / "examples" / "reedbank" / "reedbank.yaml"
SEEN = Path(__file__).with_name("baselines")
SIZE = (320, 200)
MEAN = 2.0
"""Of 255, over all pixels and colors: a face of concrete shaded otherwise is more."""
FAR, SHARE = 48.0, 0.004
"""At most this share of the pixels may be off by more than FAR of 255: a rod that is missing is more."""


@pytest.fixture(scope="module")
def shots(display: str, tmp_path_factory: pytest.TempPathFactory) -> Iterator[dict[str, np.ndarray]]:
    """The window at P12's first finding, the same without its rods, and the site view."""
    folder = tmp_path_factory.mktemp("window")
    hands = Hands(display, DEMO, "P12", folder=folder)
    try:
        taken = {}
        for name, keys in (("P12", ()), ("P12 without rods", ("3",)), ("site", ("a", "v"))):
            said = hands.key(*keys, "p")["said"]
            file = folder / str(said).removeprefix("Saved as ").removesuffix(".")
            picture = Image.open(file).convert("RGB").resize(SIZE, Image.Resampling.BOX)
            taken[name] = np.asarray(picture, dtype=float)
        yield taken
    finally:
        hands.kill()


def off(found: np.ndarray, seen: np.ndarray) -> tuple[float, float]:
    """Mean difference, of 255, and the share of pixels that are far off."""
    apart = np.abs(found - seen)
    return float(apart.mean()), float((apart.max(axis=2) > FAR).mean())


@pytest.mark.parametrize("name", ["P12", "site"])
def test_the_window_looks_as_it_did_when_it_was_looked_at(name: str, shots: dict[str, np.ndarray]) -> None:
    file = SEEN / f"{name}.png"
    if os.environ.get("PIERCLEAR_NEW_BASELINES"):
        SEEN.mkdir(exist_ok=True)
        Image.fromarray(shots[name].round().astype(np.uint8)).save(file)
        pytest.skip(f"{file.name} was made anew: look at it")
    mean, far = off(shots[name], np.asarray(Image.open(file).convert("RGB"), dtype=float))
    assert mean <= MEAN
    assert far <= SHARE


def test_a_missing_rod_would_be_seen(shots: dict[str, np.ndarray]) -> None:
    mean, far = off(shots["P12 without rods"], shots["P12"])
    assert mean > MEAN or far > SHARE
    assert far > 2.0 * SHARE
