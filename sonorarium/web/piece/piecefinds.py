"""The passages of a set in one piece: where they are, and what is needed to hear and to keep each."""

from __future__ import annotations

from dataclasses import dataclass
from functools import lru_cache

from sonorarium.score.score import Score
from sonorarium.score.search.finding import find
from sonorarium.score.search.passage import Passage
from sonorarium.score.search.query import Query
from sonorarium.web.facts.passages import PassageFacts, passage_facts

LISTED = 40
"""So many passages are listed, and their notes marked."""

SEARCHES_KEPT = 64


@dataclass(frozen=True)
class PassagesFacts:
    """The passages of a set in a piece: how many there are, and the best."""

    piece: str
    set: str
    count: int
    passages: list[PassageFacts]


@lru_cache(SEARCHES_KEPT)
def passages_of(score: Score, what: str) -> tuple[Passage, ...]:
    """The passages of a set in a piece, best first; errors as of `sonorarium.score.search.finding.find`."""
    return tuple(find(score, Query.of(what)))


def passages_facts(score: Score, key: str, what: str) -> PassagesFacts:
    """The passages of a set in a piece, in plain values; raises `InputError` where the set is not understood."""
    found = passages_of(score, what)
    return PassagesFacts(key, what, len(found), [passage_facts(one) for one in found[:LISTED]])
