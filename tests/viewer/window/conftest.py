"""A screen for the real window, once for all tests; where there is none, they say so and are skipped."""

from __future__ import annotations

from collections.abc import Iterator

import pytest

from tests.support.screen import MISSING, screen


@pytest.fixture(scope="session")
def display() -> Iterator[str]:
    if MISSING:
        pytest.skip(f"no {' and no '.join(MISSING)} here: the window needs a screen and hands")
    with screen() as name:
        yield name


@pytest.fixture
def own_display(display: str) -> Iterator[str]:
    """A screen for one test alone: a key goes to the window that has the focus."""
    with screen() as name:
        assert name != display
        yield name
