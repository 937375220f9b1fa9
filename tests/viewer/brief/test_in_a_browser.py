"""The briefing in a real browser, phone and desktop, with the network off: tap, turn, tick, reload, print."""

from __future__ import annotations

import io
import shutil
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path
from typing import Any

import numpy as np
import pytest
from PIL import Image
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


PAPERS = {"phone": "A4", "desktop": "Letter"}


@pytest.fixture(scope="module")
def brief(tmp_path_factory: pytest.TempPathFactory) -> Path:
    site = load_site(DEMO / "reedbank.yaml")
    path = tmp_path_factory.mktemp("brief") / "brief.html"
    path.write_text(html(Job(site, judge(site), "2025-05-06")), encoding="utf-8")
    return path


@contextmanager
def _chromium(*switches: str) -> Iterator[Any]:
    with playwright.sync_playwright() as driver:
        # Without a graphics card Chromium draws WebGL in software, and wants to be told that it may.
        args = ["--no-sandbox", "--enable-unsafe-swiftshader", *switches]
        browser = driver.chromium.launch(executable_path=BROWSER, args=args)
        yield browser
        browser.close()


class _Reader:
    """Somebody who opens the file with the network off; faults and requests are written down."""

    def __init__(self, browser: Any, screen: str, brief: Path) -> None:
        self.finger = screen == "phone"
        self.file = brief.as_uri()
        self.context = browser.new_context(**SCREENS[screen], offline=True)
        self.page = self.context.new_page()
        self.faults: list[str] = []
        self.asked: list[str] = []
        self.page.on("pageerror", lambda error: self.faults.append(str(error)))
        self.page.on("console", lambda said: self.faults.append(said.text) if said.type == "error" else None)
        self.page.on("request", lambda request: self.asked.append(request.url))
        self.page.goto(self.file)

    def tap(self, selector: str) -> None:
        target = self.page.locator(selector)
        target.tap() if self.finger else target.click()

    def drag(self, start: tuple[float, float], way: tuple[float, float]) -> None:
        """One finger, or the mouse with its button down, in steps."""
        points = [(start[0] + way[0] * k / 8, start[1] + way[1] * k / 8) for k in range(9)]
        if not self.finger:
            self.page.mouse.move(*points[0])
            self.page.mouse.down()
            for at in points[1:]:
                self.page.mouse.move(*at)
            self.page.mouse.up()
            return
        hand = self.context.new_cdp_session(self.page)
        for kind, at in [("touchStart", points[0]), *(("touchMove", at) for at in points[1:])]:
            touch = [{"x": at[0], "y": at[1]}]
            hand.send("Input.dispatchTouchEvent", {"type": kind, "touchPoints": touch})
            self.page.wait_for_timeout(16)
        hand.send("Input.dispatchTouchEvent", {"type": "touchEnd", "touchPoints": []})

    def view(self, mark: str) -> Image.Image:
        """What the view of a pier shows, once it has been drawn."""
        frame = self.page.locator(f"#{mark} iframe")
        frame.scroll_into_view_if_needed()
        inside = frame.element_handle().content_frame()
        inside.wait_for_function("window.controls !== undefined")
        inside.evaluate("new Promise(done => requestAnimationFrame(() => requestAnimationFrame(done)))")
        return Image.open(io.BytesIO(frame.screenshot())).convert("RGB")


def _changed(a: Image.Image, b: Image.Image) -> float:
    """Of all pixels, how many differ by more than an eighth of the scale in some channel."""
    off = np.abs(np.asarray(a, dtype=int) - np.asarray(b, dtype=int)).max(axis=-1)
    return float((off > 32).mean())


@pytest.mark.parametrize("screen", list(SCREENS))
def test_tap_turn_tick_reload_and_print(screen: str, brief: Path) -> None:
    with _chromium() as browser:
        reader = _Reader(browser, screen, brief)
        page = reader.page

        reader.tap('a[href="#P8"]')
        assert page.evaluate("location.hash") == "#P8"
        assert page.locator("#P8").bounding_box()["y"] < 200
        assert page.get_by_text("shows no view in 3D").first.is_hidden()

        before = reader.view("P8")
        inked = float((np.asarray(before).min(axis=-1) < 200).mean())
        assert inked > 0.02, "the view is empty"
        assert _changed(before, reader.view("P8")) < 0.001
        box = page.locator("#P8 iframe").bounding_box()
        middle = (box["x"] + box["width"] / 2, box["y"] + box["height"] / 2)
        where = page.evaluate("scrollY")
        reader.drag(middle, (80.0, 20.0))
        assert _changed(before, reader.view("P8")) > 0.02, "it does not turn"
        assert page.evaluate("scrollY") == where, "the page went along when the view was turned"

        # Beside the view a finger moves the page.
        if screen == "phone":
            text = page.locator("#P8 h3").first.bounding_box()
            reader.drag((text["x"] + 30.0, text["y"] + 8.0), (0.0, -120.0))
            page.wait_for_timeout(200)
            assert page.evaluate("scrollY") > where + 50

        # One view at a time, however many were opened.
        for mark in ("P14", "P8"):
            reader.tap(f"#{mark} .turning button")
            reader.view(mark)
            assert page.locator("iframe").count() == 1
            assert (
                page.locator(".turning button").count() - page.locator(".turning button:visible").count() == 1
            )

        # A phone that is short of memory takes a view back; it can be opened again.
        inside = page.locator("#P8 iframe").element_handle().content_frame()
        inside.evaluate("renderer.forceContextLoss()")
        page.locator("#P8 .turning button").wait_for(state="visible")
        assert page.locator("iframe").count() == 0
        reader.tap("#P8 .turning button")
        reader.view("P8")

        page.locator("#P8-2").check()
        page.reload()
        assert page.locator("#P8-2").is_checked()
        assert not page.locator("#P8-1").is_checked()

        wide = page.evaluate("document.documentElement.scrollWidth - window.innerWidth")
        assert wide <= 0, "the page runs off the side"
        printed = PdfReader(io.BytesIO(page.pdf(format=PAPERS[screen])))
        assert len(printed.pages) == 1 + 24
        assert reader.faults == []
        asked = {url.split("#")[0] for url in reader.asked if not url.startswith(("data:", "blob:"))}
        assert asked <= {reader.file, "about:srcdoc"}


def test_without_a_view_in_space_the_pictures_remain(brief: Path) -> None:
    with _chromium("--disable-3d-apis") as browser:
        reader = _Reader(browser, "phone", brief)
        reader.tap('a[href="#P8"]')
        assert reader.page.locator("#P8 .turning p").is_visible()
        assert reader.page.locator("#P8 .turning button").is_hidden()
        assert reader.page.locator("#P8 .hint").is_hidden()
        assert reader.page.locator("#P8 .picture svg").is_visible()
        assert reader.page.locator("iframe").count() == 0
        reader.page.locator("#P8-2").check()
        assert reader.faults == []


def test_the_browser_is_told_to_load_nothing(brief: Path) -> None:
    with _chromium() as browser:
        reader = _Reader(browser, "desktop", brief)
        refused = reader.page.evaluate(
            "fetch('http://localhost:9/').then(() => 'loaded', said => String(said))"
        )
        assert "TypeError" in refused
        assert any("Content Security Policy" in said for said in reader.faults)
