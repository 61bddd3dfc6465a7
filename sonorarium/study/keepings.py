"""Passages kept: where the music is, what it shows, and why it was kept.

A passage is one card in the study's folder of passages::

    ---
    format: 1
    score: pieces/1-saffron-evening.musicxml
    digest: 5f0c…
    title: Saffron Evening
    set: 5-15
    kind: texture
    pcs: 1 2 3 7 9
    bars: 26 29
    onset: 75
    end: 171/2
    notes: A2 E♭3 G3 …
    kept: 2026-03-14
    tag: cadence
    ---

    The leading tones hang over the fifth that is missing.

``score`` is the file's place in the study, or its full path where it lies outside; ``digest`` is the SHA-256 of its
bytes, by which a piece that has been changed or moved since is noticed. ``bars`` are the printed numbers of the first
and the last bar, ``set`` the class of what is shown and ``pcs`` the very notes; ``onset`` and ``end`` are quarter
notes from the beginning, exact. The words say why.
"""

from __future__ import annotations

import datetime
from collections.abc import Iterable
from dataclasses import dataclass
from fractions import Fraction
from pathlib import Path

from sonorarium.errors import DamagedError, InputError, NothingFoundError, SonorariumError
from sonorarium.pcs.pcset import PcSet
from sonorarium.score.reading import read_score
from sonorarium.score.score import Score
from sonorarium.score.search.finding import find
from sonorarium.score.search.passage import Passage
from sonorarium.score.search.query import Query
from sonorarium.study.card import Card
from sonorarium.study.drawer import Drawer, Filed, Unread
from sonorarium.study.folder import Study
from sonorarium.study.remarks import tagged, tidy

_ONCE = ("score", "digest", "title", "composer", "set", "kind", "pcs", "bars", "onset", "end", "notes", "kept")
_NEEDS = ("score", "set", "kind", "pcs", "bars", "onset", "end")


@dataclass(frozen=True)
class KeptPassage:
    """A passage that was kept.

    Parameters
    ----------
    score : str
        Place of the file in the study, or its full path.
    digest : str
        SHA-256 of the file as it was.
    title, composer : str
        As the file stated them.
    what : str
        The class of what it shows.
    kind : str
        ``chord``, ``line`` or ``texture``.
    pcs : PcSet
        The set that it shows.
    bars : (str, str)
        Printed numbers of its first and last bar.
    onset_quarters, end_quarters : Fraction
        From the beginning of the piece.
    notes : tuple of str
        Names of its notes.
    tags : tuple of str
    why : str
        The owner's words, Markdown.
    filed : Filed
        Its card.
    """

    score: str
    digest: str
    title: str
    composer: str
    what: str
    kind: str
    pcs: PcSet
    bars: tuple[str, str]
    onset_quarters: Fraction
    end_quarters: Fraction
    notes: tuple[str, ...]
    tags: tuple[str, ...]
    why: str
    filed: Filed

    @classmethod
    def of(cls, filed: Filed) -> KeptPassage:
        """Take a passage from its card; raises `DamagedError` where a line of it says nothing that can be meant."""
        card = filed.card
        try:
            pcs = PcSet(int(pc) for pc in card.value("pcs").split())
            onset, end = Fraction(card.value("onset")), Fraction(card.value("end"))
        except (ValueError, ZeroDivisionError) as error:
            raise DamagedError(
                f"{filed.path}: pcs, onset or end is not understood: {error}.", value=filed.path
            ) from error
        first, *rest = card.value("bars").split(" ")
        return cls(
            score=card.value("score"),
            digest=card.value("digest"),
            title=card.value("title"),
            composer=card.value("composer"),
            what=card.value("set"),
            kind=card.value("kind"),
            pcs=pcs,
            bars=(first, rest[-1] if rest else first),
            onset_quarters=onset,
            end_quarters=end,
            notes=tuple(card.value("notes").split()),
            tags=card.values("tag"),
            why=card.words,
            filed=filed,
        )

    @property
    def place(self) -> str:
        """Where it is, in words: ``Saffron Evening, bars 26–29``."""
        first, last = self.bars
        return f"{self.title or Path(self.score).stem}, {f'bar {first}' if first == last else f'bars {first}–{last}'}"


@dataclass(frozen=True)
class KeptPassages:
    """Every passage kept in a study.

    Parameters
    ----------
    passages : tuple of KeptPassage
        By file, then by place in it.
    unread : tuple of Unread
        Files that are no such cards, and why.
    """

    passages: tuple[KeptPassage, ...]
    unread: tuple[Unread, ...] = ()


def passage_drawer(study: Study) -> Drawer:
    """The drawer of a study's passages."""
    return Drawer(study, study.passages_name, once=_ONCE, needs=_NEEDS)


def kept_passages(study: Study) -> KeptPassages:
    """Every passage kept in a study."""
    contents = passage_drawer(study).contents()
    found: list[KeptPassage] = []
    unread = list(contents.unread)
    for filed in contents.filed:
        try:
            found.append(KeptPassage.of(filed))
        except DamagedError as error:
            unread.append(Unread(filed.path, str(error)))
    found.sort(key=lambda one: (one.score, one.onset_quarters, one.end_quarters, one.filed.path.name))
    return KeptPassages(tuple(found), tuple(unread))


def keep_passage(
    study: Study,
    score: Score,
    passage: Passage,
    *,
    why: str = "",
    tags: Iterable[str] = (),
    kept: datetime.date | None = None,
) -> KeptPassage:
    """Keep a passage; where it is kept already, add words and tags to its card.

    Parameters
    ----------
    study : Study
    score : Score
        The piece, read from a file.
    passage : Passage
        What `sonorarium.score.search.finding` found in it.
    why : str
        The owner's words.
    tags : iterable of str
    kept : date, optional
        The day, written where the card is new.

    Raises
    ------
    InputError
        Where the score was not read from a file, or the study cannot be written to.
    """
    new = _card_of(study, score, passage).with_values("kept", [kept.isoformat()] if kept else [])
    added = tidy(tags)
    filed = passage_drawer(study).change(
        lambda card: (
            all(card.value(key) == new.value(key) for key in ("digest", "kind", "pcs", "onset", "end"))
            and card.value("notes") == new.value("notes")
        ),
        lambda card: tagged(card, added).with_more(why),
        stem=f"{Path(new.value('score')).stem} {new.value('bars')} {new.value('set')}",
        new=new,
    )
    return KeptPassage.of(filed)


def _card_of(study: Study, score: Score, passage: Passage) -> Card:
    if score.path is None:
        raise InputError("A passage is kept with its file, and this score was not read from one.", value=score.title)
    path = score.path.resolve()
    inside = path.is_relative_to(study.folder)
    ticks = score.ticks_per_quarter
    lines = {
        "score": path.relative_to(study.folder).as_posix() if inside else str(path),
        "digest": score.digest,
        "title": score.title,
        "composer": score.composer,
        "set": passage.label,
        "kind": passage.kind,
        "pcs": " ".join(map(str, passage.pcs.pcs)),
        "bars": " ".join(dict.fromkeys(passage.bars)),
        "onset": str(Fraction(passage.onset, ticks)),
        "end": str(Fraction(passage.end, ticks)),
        "notes": " ".join(passage.notes),
    }
    card = Card()
    for key, value in lines.items():
        card = card.with_values(key, [value])
    return card


def score_of(study: Study, kept: KeptPassage) -> Score:
    """Read the piece of a kept passage.

    Raises
    ------
    InputError
        Where the file is missing; a place inside the study that leads out of it is refused.
    DamagedError
        Where it cannot be read.
    """
    path = Path(kept.score)
    return read_score(path if path.is_absolute() else study.inside(kept.score))


def standing(study: Study, kept: KeptPassage) -> str:
    """How a kept passage stands: ``as kept``, ``changed`` (the file has other bytes now), or ``missing``."""
    try:
        return "as kept" if score_of(study, kept).digest == kept.digest else "changed"
    except SonorariumError:
        return "missing"


def refind(study: Study, kept: KeptPassage) -> tuple[Score, Passage]:
    """Find a kept passage in its piece again.

    Raises
    ------
    NothingFoundError
        Where the piece does not have it any more.
    InputError, DamagedError
        Where the piece is missing or cannot be read.
    """
    score = score_of(study, kept)
    ticks = score.ticks_per_quarter
    for passage in find(score, Query.of(kept.pcs, kind=kept.kind)):
        onset, end = Fraction(passage.onset, ticks), Fraction(passage.end, ticks)
        if (onset, end, passage.notes) == (kept.onset_quarters, kept.end_quarters, kept.notes):
            return score, passage
    raise NothingFoundError(
        f"{kept.place}: the passage is not there any more; the file has been changed since it was kept.",
        value=kept.score,
        suggestion="Search the piece again and keep what you find.",
    )
