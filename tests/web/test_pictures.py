"""Pictures of every page: taken by these tests, looked at here, and put in the documents where that is asked for.

``make pictures`` runs this with ``PICTURES=1`` and so writes ``docs/pictures/workbench`` anew. Without it nothing is
written, and the tests say only that each page is drawn whole, at the three widths that the look is made for, and that
the documents have a picture of it.
"""

from __future__ import annotations

import io
import os
from pathlib import Path

import pytest
from PIL import Image
from playwright.sync_api import Browser, Page

from tests.web.addresses import PAGES, address_of
from tests.web.conftest import Served

DOCS = Path(__file__).parents[2] / "docs"
FOLDER = DOCS / "pictures" / "workbench"
GUIDE = DOCS / "workbench.md"
WIDTHS = {"phone": 390, "laptop": 1280, "projector": 1920}
TALLEST_PX = 1500
COLOURS = 48
"""Ink, paper and one accent, each with its edges smoothed: more colours are not needed, and the files stay small."""


def settle(page: Page, address: str, width: int) -> None:
    """Open a page at a width, with everything that lies in view."""
    page.set_viewport_size({"width": width, "height": 900})
    page.goto(address)
    page.wait_for_load_state("networkidle")


def picture(page: Page) -> Image.Image:
    """The page from its top, cut where it is very long."""
    tall: int = page.evaluate("document.documentElement.scrollHeight")
    width: int = page.evaluate("window.innerWidth")
    clip = {"x": 0, "y": 0, "width": width, "height": min(tall, TALLEST_PX)}
    return Image.open(io.BytesIO(page.screenshot(full_page=True, clip=clip)))  # type: ignore[arg-type]


@pytest.mark.browser
@pytest.mark.parametrize("name", PAGES)
def test_each_page_is_drawn_whole_at_every_width(browser: Browser, served: Served, name: str) -> None:
    page = browser.new_page()
    complaints: list[str] = []
    page.on("console", lambda message: complaints.append(message.text) if message.type == "error" else None)
    address = served.url + address_of(name, served.room)
    for width in WIDTHS.values():
        settle(page, address, width)
        assert page.evaluate("document.documentElement.scrollWidth") <= width, "nothing hangs over the edge"
        assert page.get_by_role("heading", level=1).count() == 1
    settle(page, address, WIDTHS["laptop"])
    taken = picture(page)
    shades = taken.convert("L").getcolors(256) or []
    assert len(shades) > 30, "there is ink on the paper"
    page.close()
    assert [one for one in complaints if "422" not in one or name != "wrong"] == []
    if os.environ.get("PICTURES"):
        FOLDER.mkdir(parents=True, exist_ok=True)
        taken.convert("RGB").quantize(COLOURS).save(FOLDER / f"{name}.png", optimize=True)


@pytest.mark.parametrize("name", PAGES)
def test_the_documents_show_each_page(name: str) -> None:
    assert (FOLDER / f"{name}.png").stat().st_size > 3000
    assert f"(pictures/workbench/{name}.png)" in GUIDE.read_text(encoding="utf-8")
