"""The program that runs inside the engraving process: reads jobs on standard input, answers on standard output.

It is started by `sonorarium.render.press` as a file of its own, so it imports nothing of Sonorarium: it starts
fast, and if the native engraver dies only this process dies with it.

A message, either way, is four bytes of length (big-endian) and that many bytes of JSON. A job is
``{"data": ..., "options": {...}}``; the answer is ``{"pages": [...]}`` with one SVG a page, or
``{"refused": "..."}``.
"""

from __future__ import annotations

import json
import os
import struct
import sys
from typing import IO, Any

SEED = 1
ALWAYS_SET = {"scale": 100, "font": "Leipzig"}
"""What the engraver keeps even when its options are reset."""


def read_message(stream: IO[bytes]) -> Any:
    """Read one message; None at the end of the stream, also where a message is cut short."""
    head = stream.read(4)
    if len(head) < 4:
        return None
    (length,) = struct.unpack(">I", head)
    body = stream.read(length)
    return json.loads(body) if len(body) == length else None


def write_message(stream: IO[bytes], message: object) -> None:
    """Write one message and send it off."""
    body = json.dumps(message).encode()
    stream.write(struct.pack(">I", len(body)) + body)
    stream.flush()


def answer(toolkit: Any, job: dict[str, Any]) -> dict[str, Any]:
    """Do one job. The engraver keeps options from job to job, so they are set anew each time."""
    toolkit.resetOptions()
    toolkit.setOptions(ALWAYS_SET | job["options"])
    toolkit.resetXmlIdSeed(SEED)
    if not toolkit.loadData(job["data"]):
        return {"refused": "the engraver could not read the notation"}
    pages = [toolkit.renderToSVG(page) for page in range(1, toolkit.getPageCount() + 1)]
    return {"pages": pages}


def serve(resources: str) -> None:
    """Answer jobs until standard input ends.

    Native code may print; so the real standard output is kept for answers, and everything else that is
    printed goes nowhere.
    """
    out = os.fdopen(os.dup(1), "wb")
    nowhere = os.open(os.devnull, os.O_WRONLY)
    os.dup2(nowhere, 1)
    os.dup2(nowhere, 2)
    import verovio

    verovio.enableLog(verovio.LOG_OFF)
    toolkit = verovio.toolkit(False)
    toolkit.setResourcePath(resources)
    write_message(out, {"version": toolkit.getVersion()})
    while (job := read_message(sys.stdin.buffer)) is not None:
        write_message(out, answer(toolkit, job))


if __name__ == "__main__":
    serve(sys.argv[1])
