"""The program that runs inside the engraving process: reads jobs on standard input, answers on standard output.

It is started by `sonorarium.render.press` and imports next to nothing of Sonorarium: it starts fast, and if the
native engraver dies only this process dies with it.

A job is ``{"data": ..., "options": {...}}``; the answer is ``{"pages": [...]}`` with one SVG a page, or
``{"refused": "..."}``. Messages are those of `sonorarium.apart`.
"""

from __future__ import annotations

import os
import sys
from typing import Any

from sonorarium.apart import read_message, write_message

SEED = 1
ALWAYS_SET = {"scale": 100, "font": "Leipzig"}
"""What the engraver keeps even when its options are reset."""


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
