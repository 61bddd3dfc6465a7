"""The guard before every page: who may ask, how much may be sent, and what a page may do.

The workbench is served to this computer alone, yet every web page that is open in the same browser can try to reach
it. Four rules keep strangers out:

* the ``Host`` of a request is one of the names this very server goes by, port included. A name that an attacker's
  name server points here is none of them ("DNS rebinding");
* an ``Origin``, where one is sent, is the server's own. There is no CORS: no other site may read an answer;
* what the browser itself marks as asked for by another site is answered only where somebody followed a link;
* a change needs, on top, the token of this run, which only the pages of this run hold.

Every answer carries a policy under which a page can load nothing from anywhere else and run no script from its text.
"""

from __future__ import annotations

import hmac
import json
from dataclasses import dataclass, field

from starlette.datastructures import Headers, MutableHeaders
from starlette.types import ASGIApp, Message, Receive, Scope, Send

TOKEN_HEADER = "X-Sonorarium-Token"
"""Header that carries the token of this run with every change."""

SAFE = ("GET", "HEAD")
ONCE = ("origin", "sec-fetch-site", "sec-fetch-mode", "sec-fetch-dest", TOKEN_HEADER)
"""Headers that a request may have once at most, so that no other reader of it can take another one for true."""

MOST_BYTES = 64 << 20
"""A request may carry so many bytes."""

POLICY = (
    "default-src 'none'; script-src 'self'; style-src 'self'; img-src 'self' data:; font-src 'self'; "
    "media-src 'self' blob:; connect-src 'self'; frame-src 'self'; form-action 'self'; base-uri 'none'; "
    "frame-ancestors 'none'"
)
HEADERS = {
    "Content-Security-Policy": POLICY,
    "X-Content-Type-Options": "nosniff",
    "Referrer-Policy": "no-referrer",
    "Cross-Origin-Opener-Policy": "same-origin",
    "Cross-Origin-Resource-Policy": "same-origin",
    "Permissions-Policy": "midi=(self), camera=(), microphone=(), geolocation=()",
    "Cache-Control": "no-cache",
}
"""Headers of every answer that does not bring its own."""


@dataclass(frozen=True)
class Gate:
    """What a request is held against.

    Parameters
    ----------
    port : int
        The port this server listens on.
    token : str
        The secret of this run.
    hosts : tuple of str
        Every value that ``Host`` may have; made from the port.
    """

    port: int
    token: str = field(repr=False)

    @property
    def hosts(self) -> tuple[str, ...]:
        """The names this server goes by.

        >>> Gate(8012, "secret").hosts
        ('127.0.0.1:8012', 'localhost:8012', '[::1]:8012')
        """
        return tuple(f"{name}:{self.port}" for name in ("127.0.0.1", "localhost", "[::1]"))

    def objection(self, method: str, headers: Headers) -> tuple[int, str] | None:
        """Why a request is refused, as an HTTP status and a sentence; None where it may pass."""
        host, origin = headers.get("host", ""), headers.get("origin")
        if host not in self.hosts or len(headers.getlist("host")) != 1:
            return 421, f"This server does not go by that name. Open http://{self.hosts[0]}/ instead."
        if any(len(headers.getlist(name)) > 1 for name in ONCE):
            return 403, "The request says twice where it comes from, and no browser does that."
        if origin is not None and origin != f"http://{host}":
            return 403, "The request comes from another site, and only this workbench's own pages may ask."
        if headers.get("sec-fetch-site", "none") not in ("none", "same-origin"):
            followed = method in SAFE and headers.get("sec-fetch-mode") == "navigate"
            if not followed or headers.get("sec-fetch-dest") != "document":
                return 403, "The request comes from another site, and only this workbench's own pages may ask."
        if method in SAFE:
            return None
        if not hmac.compare_digest(headers.get(TOKEN_HEADER, "").encode(), self.token.encode()):
            return 403, "The page is of an earlier run of the workbench. Load it again, then repeat what you did."
        return None


class Guard:
    """The guard, as a layer around the application.

    Parameters
    ----------
    app : ASGIApp
    gate : Gate
    most_bytes : int
        Size of the largest request that is let in.
    """

    def __init__(self, app: ASGIApp, gate: Gate, most_bytes: int = MOST_BYTES) -> None:
        self.app = app
        self.gate = gate
        self.most_bytes = most_bytes

    async def __call__(self, scope: Scope, receive: Receive, send: Send) -> None:
        """Refuse what must not pass; hand on the rest, counting its bytes and adding the headers."""
        if scope["type"] == "lifespan":
            await self.app(scope, receive, send)
            return
        if scope["type"] != "http":
            return
        headers = Headers(scope=scope)
        refused = self.gate.objection(scope["method"], headers)
        length = headers.get("content-length", "0")
        if refused is None and (not length.isdecimal() or int(length) > self.most_bytes):
            refused = 413, f"The request is larger than {self.most_bytes >> 20} megabytes. Send fewer files at once."
        if refused is not None:
            await _refuse(send, *refused)
            return
        await self.app(scope, _counted(receive, self.most_bytes), _with_headers(send))


def _counted(receive: Receive, most: int) -> Receive:
    """Receive no more than so many bytes: a body that does not say its length is cut off there."""
    seen = 0

    async def counted() -> Message:
        nonlocal seen
        message = await receive()
        seen += len(message.get("body", b""))
        return {"type": "http.disconnect"} if seen > most else message

    return counted


def _with_headers(send: Send) -> Send:
    async def sending(message: Message) -> None:
        if message["type"] == "http.response.start":
            there = MutableHeaders(scope=message)
            for name, value in HEADERS.items():
                there.setdefault(name, value)
        await send(message)

    return sending


async def _refuse(send: Send, status: int, sentence: str) -> None:
    body = json.dumps({"error": {"sentence": sentence, "suggestion": "", "value": None}}).encode()
    headers = [(name.lower().encode(), value.encode()) for name, value in HEADERS.items()]
    headers += [(b"content-type", b"application/json"), (b"content-length", str(len(body)).encode())]
    await send({"type": "http.response.start", "status": status, "headers": headers})
    await send({"type": "http.response.body", "body": body})
