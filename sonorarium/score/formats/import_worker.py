"""The program that runs inside the importing process: reads jobs on standard input, answers on standard output.

It is started by `sonorarium.score.formats.importing` as a file of its own, so it imports nothing of Sonorarium: it
starts fast, and if the native importer dies only this process dies with it.

A message, either way, is four bytes of length (big-endian) and that many bytes of JSON. A job is
``{"data": text, "format": "humdrum" | "mei" | …}``; the answer is ``{"mei": text}``, null where
the text was refused. What the importer prints goes to standard error.
"""

from __future__ import annotations

import json
import os
import struct
import sys
from typing import IO, Any

OPTIONS = {"mdivAll": True, "expandNever": True, "outputIndent": 1, "preserveAnalyticalMarkup": True}
"""All pieces of a file, as written, without blanks that nobody reads."""

SEED = 1


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
