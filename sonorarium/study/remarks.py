"""Sets kept: each with its tags and with the owner's own words on how it sounds.

One card a set, in the study's folder of sets (see `sonorarium.study.card` for the form)::

    ---
    format: 1
    set: 5-15
    kept: 2026-03-14
    tag: bright
    ---

    Two tritones that share a cluster: it glitters.

``set`` is what may be typed anywhere: a scale on a root, a chord, notes, a class. It is written as its title, so that
two ways of typing one thing meet on one card: ``[0148]`` and ``4-19`` do. A scale and its bare notes are
different things to remark on, and stay two cards; `remarks_on` finds both.
"""

from __future__ import annotations

import datetime
from collections.abc import Iterable
from dataclasses import dataclass

from sonorarium.errors import InputError
from sonorarium.pcs.meanings import in_typed_signs
from sonorarium.pcs.pcset import PcSet
from sonorarium.pcs.reading import read_set
from sonorarium.pcs.setclass import SetClass
from sonorarium.pcs.subject import subject
from sonorarium.study.card import Card
from sonorarium.study.drawer import Drawer, Filed, Unread
from sonorarium.study.folder import Study


@dataclass(frozen=True)
class KeptSet:
    """A set with its tags and remarks.

    Parameters
    ----------
    what : str
        The set, as it can be typed.
    tags : tuple of str
    words : str
        Markdown.
    kept : str
        Day on which it was kept, ``2026-03-14``, or empty.
    filed : Filed
        Its card.
    """

    what: str
    tags: tuple[str, ...]
    words: str
    kept: str
    filed: Filed

    @classmethod
    def of(cls, filed: Filed) -> KeptSet:
        """Take a set from its card."""
        card = filed.card
        return cls(card.value("set"), card.values("tag"), card.words, card.value("kept"), filed)

    @property
    def pcset(self) -> PcSet:
        """Its notes; raises `InputError` where what stands on the card is no set."""
        return subject(self.what).pcset


@dataclass(frozen=True)
class KeptSets:
    """Every set kept in a study.

    Parameters
    ----------
    sets : tuple of KeptSet
        In the order of their titles.
    unread : tuple of Unread
        Files that are no such cards, and why.
    """

    sets: tuple[KeptSet, ...]
    unread: tuple[Unread, ...] = ()

    def tagged(self, tag: str) -> tuple[KeptSet, ...]:
        """Those that carry a tag; capitals do not matter."""
        return tuple(one for one in self.sets if tag.casefold() in map(str.casefold, one.tags))


def set_drawer(study: Study) -> Drawer:
    """The drawer of a study's sets."""
    return Drawer(study, study.sets_name, once=("set", "kept"), needs=("set",))


def canonical(what: str) -> str:
    """A set as it stands on its card: one text for all ways of typing the same thing.

    Raises `InputError` where it is not understood.

    >>> canonical("d Double Harmonic"), canonical("[0148]"), canonical("7 0 3"), canonical("Ebmaj7#5")
    ('D double harmonic', '4-19', 'C Eb G', 'Ebmaj7#5')
    """
    meant = subject(what)
    plain = in_typed_signs(meant.title)
    try:
        same = subject(plain).pcset == meant.pcset
    except InputError:
        same = False
    return plain if same else " ".join(what.split())


def kept_sets(study: Study) -> KeptSets:
    """Every set kept in a study."""
    contents = set_drawer(study).contents()
    found = sorted(map(KeptSet.of, contents.filed), key=lambda one: (one.what.casefold(), one.filed.path.name))
    return KeptSets(tuple(found), contents.unread)


def keep_set(
    study: Study, what: str, *, words: str = "", tags: Iterable[str] = (), kept: datetime.date | None = None
) -> KeptSet:
    """Keep a set, or add words and tags to one that is kept.

    Parameters
    ----------
    study : Study
    what : str
        The set, as it may be typed anywhere.
    words : str
        A paragraph; it goes below what stands there.
    tags : iterable of str
        Those that the card has already are not written twice.
    kept : date, optional
        The day, written where the card is new.

    Raises
    ------
    InputError
        Where the set is not understood, or the study cannot be written to.
    """
    name = canonical(what)
    added = tidy(tags)
    new = Card().with_values("set", [name]).with_values("kept", [kept.isoformat()] if kept else [])
    filed = set_drawer(study).change(
        lambda card: _is_of(card, name),
        lambda card: tagged(card, added).with_more(words),
        stem=name,
        new=new,
    )
    return KeptSet.of(filed)


def _is_of(card: Card, name: str) -> bool:
    told = card.value("set")
    try:
        return told == name or canonical(told) == name
    except InputError:
        return False


def tidy(tags: Iterable[str]) -> tuple[str, ...]:
    """Tags without needless blanks, each once.

    >>> tidy([" cold  light", "", "cold light"])
    ('cold light',)
    """
    return tuple(dict.fromkeys(plain for tag in tags if (plain := " ".join(tag.split()))))


def tagged(card: Card, tags: tuple[str, ...]) -> Card:
    """A card with further tags; one that it has already, whatever its capitals, is not written twice."""
    there = set(map(str.casefold, card.values("tag")))
    more = [tag for tag in tags if tag.casefold() not in there]
    return card.with_values("tag", (*card.values("tag"), *more)) if more else card


def remarks_on(study: Study, what: str) -> tuple[KeptSet, ...]:
    """What is kept on a set: first under its own name, then on the same notes, then on its class or a form of it.

    Raises `InputError` where the set is not understood.
    """
    name, meant = canonical(what), read_set(what)
    notes = subject(meant).pcset
    ranked: list[tuple[int, KeptSet]] = []
    for one in kept_sets(study).sets:
        rank = _nearness(one, name, notes, of_class=isinstance(meant, SetClass))
        if rank is not None:
            ranked.append((rank, one))
    return tuple(one for _, one in sorted(ranked, key=lambda pair: pair[0]))


def _nearness(one: KeptSet, name: str, notes: PcSet, *, of_class: bool) -> int | None:
    """0 for the same name, 1 for the same notes, 2 for the same class, None for anything else."""
    try:
        there, meant = canonical(one.what), read_set(one.what)
    except InputError:
        return None
    held = subject(meant).pcset
    if there == name:
        return 0
    if held == notes and not of_class and not isinstance(meant, SetClass):
        return 1
    return 2 if held.set_class == notes.set_class else None
