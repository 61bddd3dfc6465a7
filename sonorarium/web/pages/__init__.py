"""The pages of the workbench: one module each, with its addresses, the plain functions behind them, and no more."""

from __future__ import annotations

from sonorarium.web.pages import (
    beside,
    desk,
    find,
    keeping,
    keepings,
    lesson,
    look,
    programs,
    score,
    sheet,
    shelf,
    sketch,
    sound,
    works,
)

ROUTERS = tuple(
    page.router
    for page in (
        desk,
        sheet,
        beside,
        shelf,
        find,
        score,
        sketch,
        lesson,
        keepings,
        keeping,
        sound,
        works,
        look,
        programs,
    )
)
"""The addresses of every page, in the order in which the API's description lists them."""
