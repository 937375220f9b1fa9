"""The briefing in a real browser, phone and desktop, with the network off: tap, turn, tick, reload, print."""

from __future__ import annotations

import io
import shutil
from collections.abc import Iterator
from pathlib import Path
from typing import Any

import pytest
from pypdf import PdfReader

from clash.judge import judge
from models.reading.loading import load_site
from tests.viewer.running import DEMO
from viewer.brief.html import html
from viewer.paper.job import Job

BROWSER = next(filter(None, map(shutil.which, ("chromium", "chromium-browser", "google-chrome"))), None)
playwright = pytest.importorskip("playwright.sync_api", reason="drives the browser; not installed here")
pytestmark = pytest.mark.skipif(BROWSER is None, reason="no Chromium on this machine")
SCREENS = {
    "phone": {"viewport": {"width": 390, "height": 844}, "has_touch": True, "is_mobile": True},
    "desktop": {"viewport": {"width": 1400, "height": 900}},
}


@pytest.fixture(scope="module")
def brief(tmp_path_factory: pytest.TempPathFactory) -> Path:
    site = load_site(DEMO / "reedbank.yaml")
    path = tmp_path_factory.mktemp("brief") / "brief.html"
    path.write_text(html(Job(site, judge(site), "2025-05-06")), encoding="utf-8")
    return path


@pytest.fixture(scope="module")
def chromium() -> Iterator[Any]:
    with playwright.sync_playwright() as driver:
        browser = driver.chromium.launch(executable_path=BROWSER, args=["--no-sandbox"])
        yield browser
        browser.close()


@pytest.mark.parametrize("screen", list(SCREENS))
def test_tap_turn_tick_reload_and_print(screen: str, chromium: Any, brief: Path) -> None:
    context = chromium.new_context(**SCREENS[screen], offline=True)
    page = context.new_page()
    faults: list[str] = []
    asked: list[str] = []
    page.on("pageerror", lambda error: faults.append(str(error)))
    page.on("console", lambda said: faults.append(said.text) if said.type == "error" else None)
    page.on("request", lambda request: asked.append(request.url))
    page.goto(brief.as_uri())

    link = page.locator('a[href="#P8"]')
    link.tap() if screen == "phone" else link.click()
    assert page.evaluate("location.hash") == "#P8"
    assert page.locator("#P8").bounding_box()["y"] < 200

    canvas = page.locator("#P8 canvas")
    canvas.scroll_into_view_if_needed()
    before = canvas.evaluate("c => c.toDataURL()")
    assert (
        canvas.evaluate("c => new Set(c.getContext('2d').getImageData(0, 0, c.width, c.height).data).size")
        > 20
    )
    box = canvas.bounding_box()
    page.mouse.move(box["x"] + box["width"] / 2, box["y"] + box["height"] / 2)
    page.mouse.down()
    page.mouse.move(box["x"] + box["width"] / 2 + 90, box["y"] + box["height"] / 2 + 20, steps=4)
    page.mouse.up()
    assert canvas.evaluate("c => c.toDataURL()") != before

    page.locator("#P8-2").check()
    page.reload()
    assert page.locator("#P8-2").is_checked()
    assert not page.locator("#P8-1").is_checked()

    wide = page.evaluate("document.documentElement.scrollWidth - window.innerWidth")
    assert wide <= 0, "the page runs off the side"
    for paper in ("Letter", "A4"):
        printed = PdfReader(io.BytesIO(page.pdf(format=paper)))
        assert len(printed.pages) == 1 + 24
    assert faults == []
    assert {url.split("#")[0] for url in asked} == {brief.as_uri()}
    context.close()
