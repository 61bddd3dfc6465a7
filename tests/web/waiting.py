"""Waiting in a browser whose pages forbid that texts be run: questions are asked again until the answer is yes."""

from __future__ import annotations

from playwright.sync_api import Page


def wait_until(page: Page, question: str, *, seconds: float = 8.0) -> None:
    """Ask a question in JavaScript until it is true."""
    for _ in range(int(seconds * 20)):
        if page.evaluate(question):
            return
        page.wait_for_timeout(50)
    raise AssertionError(f"never true: {question}")


def plays(page: Page) -> None:
    """Wait until the sound of the page really plays: its time goes on."""
    wait_until(page, "window.sounding.currentTime > 0.15 && !window.sounding.paused")
