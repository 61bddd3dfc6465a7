"""For programs: every address, what it answers, and the command that does the same."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass

from fastapi import Request, Response

from sonorarium.web.answers import answer
from sonorarium.web.pages.asking import new_router

router = new_router("For programs")

TWINS: Mapping[str, str] = {
    "/readings": "sonorarium name SET",
    "/played": "sonorarium name SET",
    "/sheet": "sonorarium survey SET",
    "/beside": "sonorarium family, sonorarium near SET",
    "/shelf/atlas": "sonorarium atlas",
    "/shelf": "sonorarium shelf list, add, check, drop",
    "/find": "sonorarium find SET",
    "/score/here": "sonorarium here PATH",
    "/score/scape": "sonorarium scape PATH",
    "/score": "sonorarium trace PATH",
    "/sketch/voicings": "sonorarium voice SET",
    "/sketch/path": "sonorarium lead FROM TO",
    "/sketch": "sonorarium lead, voice, harmonise, hear",
    "/keep/sketch": "sonorarium study sketch TITLE",
    "/keep/piece": "sonorarium study take SCORE",
    "/keep": "sonorarium study keep SET",
    "/lesson": "sonorarium lesson new, check, build, drill",
    "/keepings": "sonorarium study list",
    "/sound": "sonorarium hear SET",
}
"""The command of each address; the longest beginning that fits counts."""


@dataclass(frozen=True)
class Operation:
    """One thing that can be asked.

    Parameters
    ----------
    method, path : str
    summary : str
    parameters : list of str
        Names of what may stand in the address.
    command : str
        The same on the command line; empty for what only a page needs.
    """

    method: str
    path: str
    summary: str
    parameters: list[str]
    command: str


def operations(description: Mapping[str, Mapping[str, Mapping[str, object]]]) -> list[Operation]:
    """Every operation of an OpenAPI description's paths."""
    return [
        Operation(method.upper(), path, _first(told.get("description")), _names(told.get("parameters")), twin(path))
        for path, methods in description.items()
        for method, told in methods.items()
    ]


def _first(text: object) -> str:
    return str(text or "").split("\n")[0]


def _names(told: object) -> list[str]:
    return [one["name"] for one in told if one.get("in") == "query"] if isinstance(told, list) else []


def twin(path: str) -> str:
    """The command that does what an address does.

    >>> twin("/sound/bars"), twin("/keep/sketch"), twin("/look")
    ('sonorarium hear SET', 'sonorarium study sketch TITLE', '')
    """
    fitting = [start for start in TWINS if path == start or path.startswith(f"{start}/")]
    return TWINS[max(fitting, key=len)] if fitting else ""


@router.get("/programs", response_model=list[Operation])
def programs(request: Request) -> Response:
    """Every address that can be asked."""
    return answer(request, "programs.html", operations(request.app.openapi()["paths"]))
