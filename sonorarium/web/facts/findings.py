"""What was found on the shelf: a question put to it, its answer in plain values, a page at a time; what came near."""

from __future__ import annotations

from dataclasses import dataclass, field
from itertools import pairwise
from math import ceil

from sonorarium.errors import InputError
from sonorarium.score.search.asked import in_words, options
from sonorarium.score.search.chain import Chain, is_row, read_row
from sonorarium.score.search.chaining import ChainPassage
from sonorarium.score.search.nearest import nearest
from sonorarium.score.search.passage import Passage
from sonorarium.score.search.query import Query
from sonorarium.score.search.question import Typed, question
from sonorarium.shelf.folder import FolderResult
from sonorarium.shelf.folding import search_folded
from sonorarium.shelf.searching import search_shelf
from sonorarium.shelf.sifting import Sift, year_of
from sonorarium.web.answers import address
from sonorarium.web.facts.passages import PassageFacts, mixed, passage_facts
from sonorarium.web.jobs import JobState, Report
from sonorarium.web.room import Room
from sonorarium.web.soon import soon

PAGE = 20
MOST = 200
"""The best so many are written out and can be leafed through; how many there are is always told."""
NEAR = 4


@dataclass(frozen=True)
class Asked:
    """A question to the shelf, as it was typed.

    Parameters
    ----------
    what : str
        A set, or several in a row; empty where nothing is asked yet.
    typed : Typed
    composer : str
        Part of a name.
    since, until : str
        Years, as they were typed.
    """

    what: str = ""
    typed: Typed = Typed()  # noqa: RUF009  # frozen
    composer: str = ""
    since: str = ""
    until: str = ""

    @property
    def sift(self) -> Sift:
        """Which scores are asked; raises `InputError` where a year is none, or the last lies before the first."""
        return Sift(self.composer.strip(), _year(self.since), _year(self.until))

    @property
    def question(self) -> Query | Chain:
        """What is searched for; raises `InputError` where it is not understood."""
        return question(self.what, self.typed)


def _year(text: str) -> int:
    found = year_of(text)
    if text.strip() and not found:
        raise InputError(f"{text.strip()!r} is no year.", value=text, suggestion="Give four figures: 1826.")
    return found


@dataclass(frozen=True)
class ChainFacts:
    """Passages that follow each other: each of them, the gaps between them in quarters, and where they lie."""

    passages: list[PassageFacts]
    gaps: list[str]
    bars: list[str]
    first: int
    last: int
    salience: float


@dataclass(frozen=True)
class LinkFacts:
    """A set of a row, and how many passages of it there are by itself."""

    set: str
    count: int


@dataclass(frozen=True)
class UnsearchedFacts:
    """A file that was not searched, and why."""

    file: str
    reason: str


@dataclass(frozen=True)
class Finds:
    """The answer to a question, or one page of it.

    Parameters
    ----------
    set : str
        As it was typed; empty where nothing was asked.
    in_words : str
        How it was read, with the scores it was put to.
    options : dict
    count : int
        How many passages, or chains, there are, repeats counted.
    files, files_with : int
        Scores searched, and those with at least one passage.
    bars, notes : int
        Looked at.
    folded : int
        Repeats folded into others, in the scores that are listed.
    unsearched : list of UnsearchedFacts
    page, pages : int
    first, last : int
        Which of the list are on this page; 0 where none is.
    passages : list of PassageFacts
    chains : list of ChainFacts
    links : list of LinkFacts
        The sets of a row by themselves.
    missing : list of str
        Where nothing was found, the sets for which there is a nearest to look for.
    job : JobState or None
        The search, where it is under way still.
    """

    set: str = ""
    in_words: str = ""
    options: dict[str, object] = field(default_factory=dict)
    count: int = 0
    files: int = 0
    files_with: int = 0
    bars: int = 0
    notes: int = 0
    folded: int = 0
    unsearched: list[UnsearchedFacts] = field(default_factory=list)
    page: int = 1
    pages: int = 0
    first: int = 0
    last: int = 0
    passages: list[PassageFacts] = field(default_factory=list)
    chains: list[ChainFacts] = field(default_factory=list)
    links: list[LinkFacts] = field(default_factory=list)
    missing: list[str] = field(default_factory=list)
    job: JobState | None = None


@dataclass(frozen=True)
class NearFinds:
    """What came nearest to sets that were not found; the search, where it is under way still."""

    passages: list[PassageFacts]
    job: JobState | None


def searched(room: Room, asked: Asked, page: int, link: str) -> FolderResult | JobState:
    """What the shelf answers, or the search that is under way.

    The first page is answered from so many passages as it shows; further ones from the best `MOST`.
    """
    query, limit = asked.question, PAGE if page == 1 else MOST

    def work(report: Report) -> FolderResult:
        report.say(0, 0, "Looking into the tables.")
        if isinstance(query, Query):
            return search_folded(room.shelf, query, limit=limit, progress=report.say, sift=asked.sift)
        return search_shelf(room.shelf, query, limit=limit, progress=report.say, sift=asked.sift)

    return soon(room, f"Searching for {asked.what}", (query, asked.sift, limit, _state(room)), link, work)


def _state(room: Room) -> object:
    return room.shelf.folder, room.shelf.snapshot().manifest


def finds_of(asked: Asked, page: int, result: FolderResult | JobState) -> Finds:
    """An answer in plain values."""
    query = asked.question
    words = "; ".join(filter(None, (in_words(query), asked.sift.in_words)))
    if isinstance(result, JobState):
        return Finds(asked.what, words, options(query), page=page, job=result)
    shown = slice((page - 1) * PAGE, page * PAGE)
    passages, chains = result.passages[shown], result.chains[shown]
    number = len(passages) + len(chains)
    return Finds(
        asked.what,
        words,
        options(query),
        result.count,
        result.files,
        result.files_with,
        result.bars,
        result.notes,
        result.folded,
        [UnsearchedFacts(_name(one.path), one.reason) for one in result.unsearched],
        page,
        pages_of(result, page),
        shown.start + 1 if number else 0,
        shown.start + number if number else 0,
        [passage_facts(one) for one in passages],
        [_chain(one) for one in chains],
        _links(asked, result),
        _missing(query, result),
    )


def pages_of(result: FolderResult, page: int) -> int:
    """How many pages there are: of what was written out, or, from the first alone, what there may be."""
    there = len(result.passages) + len(result.chains)
    if page == 1 and result.is_cut:
        there = min(result.count - result.folded, MOST)
    return ceil(there / PAGE)


def _name(path: str) -> str:
    return "/".join(path.replace("\\", "/").rsplit("/", 2)[-2:])


def _links(asked: Asked, result: FolderResult) -> list[LinkFacts]:
    if not is_row(asked.what):
        return []
    typed, _ = read_row(asked.what)
    return [LinkFacts(text, count) for text, count in zip(typed, result.link_counts, strict=False)]


def _missing(query: Query | Chain, result: FolderResult) -> list[str]:
    """What `nearest` looks for: sets that are nowhere, the very ones asked for; none where only the row is."""
    if result.count or not result.files:
        return []
    counts = (0,) if isinstance(query, Query) else result.link_counts
    links = (query,) if isinstance(query, Query) else query.links
    return [link.name for link, number in zip(links, counts, strict=True) if not number and link.near.is_exact]


def _chain(one: ChainPassage) -> ChainFacts:
    return ChainFacts(
        [passage_facts(passage) for passage in one.passages],
        [mixed(gap) for gap in one.gaps_quarters],
        list(one.extent.bars),
        *one.extent.bar_indices,
        round(one.salience, 4),
    )


def near_by(room: Room, asked: Asked, link: str) -> tuple[Passage, ...] | JobState:
    """What comes nearest to what was not found, or the search for it."""
    query = asked.question

    def work(report: Report) -> tuple[Passage, ...]:
        result = _searched_again(room, asked, report)

        def few(nearer: Query) -> tuple[Passage, ...]:
            report.say(0, 0, f"Looking for what is near {nearer.name}.")
            return search_shelf(room.shelf, nearer, limit=NEAR, progress=report.say, sift=asked.sift).passages

        return nearest(query, result.link_counts, few)

    return soon(room, f"Searching near {asked.what}", ("near", query, asked.sift, _state(room)), link, work)


def _searched_again(room: Room, asked: Asked, report: Report) -> FolderResult:
    """The search itself once more, where the sets of a row have to be counted."""
    query = asked.question
    if isinstance(query, Query):
        return FolderResult()
    return search_shelf(room.shelf, query, limit=1, progress=report.say, sift=asked.sift)


def folded_words(passage: PassageFacts) -> str:
    """How often the same notes come again, in words; empty where they do not."""
    counts = ((len(passage.repeats), "again at pitch"), (len(passage.transposed), "transposed"))
    return ", ".join(
        f"{number} times {words}" if number > 1 else f"once {words}" for number, words in counts if number
    )


def gaps_in_words(chain: ChainFacts) -> list[str]:
    """What lies between each passage of a chain and the next."""
    return [_gap(gap) for gap, _ in zip(chain.gaps, pairwise(chain.passages), strict=True)]


def _gap(gap: str) -> str:
    if gap.startswith("-"):
        return f"overlapping by {gap[1:]} quarters"
    return "at once" if gap == "0" else f"{gap} quarters later"


def address_of(asked: Asked, page: int = 1) -> str:
    """The address of a question."""
    return address("/find", **fields_of(asked), page=str(page) if page > 1 else "")


def fields_of(asked: Asked) -> dict[str, object]:
    """What stands in the address of a question, each field as the form has it."""
    typed = asked.typed
    besides = "any" if typed.at_least else str(typed.extra or "")
    return {
        "set": asked.what,
        "kind": list(typed.kind),
        "part": ", ".join(typed.part),
        "under": typed.under,
        "struck": typed.struck,
        "besides": besides,
        "foreign": f"{typed.tolerance * 100:g}" if typed.tolerance else "",
        "near": str(typed.near or ""),
        "alike": f"{typed.alike:g}" if typed.alike is not None else "",
        "shortest": typed.shortest,
        "longest": typed.longest,
        "notes": str(typed.least_notes) if typed.least_notes > 1 else "",
        "bars": typed.bars,
        "bass": typed.bass,
        "top": typed.top,
        "by": typed.by if typed.by != "salience" else "",
        "every": typed.every,
        "composer": asked.composer,
        "from": asked.since,
        "to": asked.until,
    }
