"""Every page stands up to axe-core, an automated check of accessibility: no finding at all, on light and dark paper.

Such a check sees a part of what matters: names of controls, contrast, order of headings, roles. That the pages can be
used by keyboard alone is walked in `test_walk`.
"""

from __future__ import annotations

from pathlib import Path
from typing import Any

import pytest
from playwright.sync_api import Browser

from tests.web.addresses import PAGES, address_of
from tests.web.conftest import Served

AXE = (Path(__file__).parent / "axe" / "axe.min.js").read_text(encoding="utf-8")
NARROW = {"width": 390, "height": 800}
LAPTOP = {"width": 1280, "height": 900}
RUN = "axe.run(document, {resultTypes: ['violations']})"


def findings(browser: Browser, url: str, scheme: str, viewport: dict[str, int]) -> list[str]:
    """What axe-core finds on a page once everything that lies in view has come."""
    context = browser.new_context(viewport=viewport, color_scheme=scheme)  # type: ignore[arg-type]
    page = context.new_page()
    page.goto(url)
    page.wait_for_load_state("networkidle")
    page.evaluate(AXE)
    found: dict[str, Any] = page.evaluate(RUN)
    context.close()
    assert found["passes"], "axe-core has looked at nothing"
    return [
        f"{one['impact']} {one['id']}: {node['html'][:160]}"
        for one in found["violations"]
        for node in one["nodes"][:3]
    ]


@pytest.mark.browser
@pytest.mark.parametrize("name", PAGES)
def test_axe_finds_nothing(browser: Browser, served: Served, name: str) -> None:
    url = served.url + address_of(name, served.room)
    assert findings(browser, url, "light", LAPTOP) == []
    assert findings(browser, url, "dark", NARROW) == []
