"""What a reader types with German note names, where the settings say so: turned into English at the door.

Addresses, cards and everything the workbench writes itself have English names, in which ``B dorian`` means one thing.
Only a field is read as German: it sends ``typed``, the name of the parameter that was typed in it, and whoever
follows is led on to the address in English. So a link means the same whatever the settings are.
"""

from __future__ import annotations

import re
from collections.abc import Callable
from urllib.parse import parse_qsl, quote, urlencode

from starlette.datastructures import URL
from starlette.responses import RedirectResponse
from starlette.types import ASGIApp, Receive, Scope, Send

from sonorarium.pcs.german import from_german, to_german

PARAMETER = "typed"
LONGEST = 2000
_ROW = re.compile(r"(\s*;\s*|\s+then\s+)")


def english_of(text: str) -> str:
    """A set, or several in a row, with English note names.

    >>> english_of("H7; Es Dur"), english_of("B dorian then 5-15")
    ('B7; Eb major', 'Bb dorian then 5-15')
    """
    return _each(from_german, text)


def german_of(text: str) -> str:
    """The same with German ones, as it stands in a field.

    >>> german_of("B7; Eb G"), german_of("Bb dorian then B lydian")
    ('H7; Es G', 'Bb dorian then H lydian')
    """
    return _each(to_german, text)


def _each(turn: Callable[[str], str], text: str) -> str:
    if len(text) > LONGEST:
        return text  # no field sends so much, and no address takes it
    parts = _ROW.split(text)
    return "".join(part if place % 2 or not part else turn(part) for place, part in enumerate(parts))


def in_english(query: str) -> str | None:
    """A query with what was typed in English, of each parameter the last; None where nothing was typed.

    >>> in_english("set=B%20dorian&set=H&typed=set"), in_english("set=H&bass=B&typed=set&typed=bass")
    ('set=B%20dorian&set=B', 'set=B&bass=Bb')
    """
    pairs = parse_qsl(query, keep_blank_values=True)
    names = [value for name, value in pairs if name == PARAMETER]
    if not names:
        return None
    rest = [pair for pair in pairs if pair[0] != PARAMETER]
    for name in dict.fromkeys(names):
        last = max((place for place, pair in enumerate(rest) if pair[0] == name), default=None)
        if last is not None:
            rest[last] = (name, english_of(rest[last][1]))
    return urlencode(rest, quote_via=quote)


class InEnglish:
    """A layer around the application that leads on from what was typed to the same in English."""

    def __init__(self, app: ASGIApp) -> None:
        self.app = app

    async def __call__(self, scope: Scope, receive: Receive, send: Send) -> None:
        """Lead on, or hand on."""
        query = in_english(scope["query_string"].decode("latin-1")) if scope["type"] == "http" else None
        if query is None or scope["method"] != "GET":
            await self.app(scope, receive, send)
            return
        here = "/" + scope["path"].lstrip("/\\")  # two slashes would lead on to another site
        await RedirectResponse(str(URL(here).replace(query=query)), 303)(scope, receive, send)
