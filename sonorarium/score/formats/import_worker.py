"""The program that runs inside the importing process: reads jobs on standard input, answers on standard output.

It is started by `sonorarium.score.formats.importing` and imports next to nothing of Sonorarium: it starts fast, and
if the native importer dies only this process dies with it.

A job is ``{"data": text, "format": "humdrum" | "mei" | …}``; the answer is ``{"mei": text}``, null where the text was
refused. Messages are those of `sonorarium.apart`; what the importer prints goes to standard error.
"""

from __future__ import annotations

import os
import sys
from typing import Any

from sonorarium.apart import read_message, write_message

OPTIONS = {"mdivAll": True, "expandNever": True, "outputIndent": 1, "preserveAnalyticalMarkup": True}
"""All pieces of a file, as written, without blanks that nobody reads."""

SEED = 1


def answer(toolkit: Any, job: dict[str, str]) -> dict[str, str | None]:
    """Do one job. The importer keeps options from job to job, so they are set anew each time."""
    toolkit.resetOptions()
    toolkit.setOptions(OPTIONS | {"inputFrom": job["format"]})
    toolkit.resetXmlIdSeed(SEED)
    return {"mei": toolkit.getMEI() if toolkit.loadData(job["data"]) else None}


def serve(resources: str) -> None:
    """Answer jobs until standard input ends.

    Native code prints where it likes; so the real standard output is kept for answers, and all that is printed goes
    to standard error.
    """
    out = os.fdopen(os.dup(1), "wb")
    os.dup2(2, 1)
    import verovio  # noqa: PLC0415

    verovio.enableLog(verovio.LOG_WARNING)
    toolkit = verovio.toolkit(False)
    toolkit.setResourcePath(resources)
    write_message(out, {"version": toolkit.getVersion()})
    while (job := read_message(sys.stdin.buffer)) is not None:
        write_message(out, answer(toolkit, job))


if __name__ == "__main__":
    serve(sys.argv[1])
