"""Everything that a text can mean, each meaning with a text that means it and nothing before it.

Many texts mean several things, and what heads a meaning need not lead back to it: ``C`` heads the note as well as the
chord. Who is offered a choice, though, must get what they choose. So each meaning here carries a text that was read
again before it was offered: `sonorarium.pcs.reading` takes it first for just this set, with this root, these names
and these heights. Notes that read as a chord stand in braces, ``{C}`` and ``{C7}``; sets without names
are numbers, ``{0,4,7}``.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

from sonorarium.errors import InputError
from sonorarium.pcs.german import from_german, to_german
from sonorarium.pcs.pcset import PcSet
from sonorarium.pcs.reading import Readable, note_words, read_set, readings, with_flats_joined
from sonorarium.pcs.subject import Subject, subject

_SIGNS = (("𝄫", "bb"), ("𝄪", "##"), ("♭", "b"), ("♯", "#"), ("♮", ""))


@dataclass(frozen=True)
class Meaning:
    """One thing that a text can mean.

    Parameters
    ----------
    text : str
        What to type to mean exactly this.
    subject : Subject
    """

    text: str
    subject: Subject


def meanings(text: str, *, german: bool = False) -> tuple[Meaning, ...]:
    """Everything that a text can mean, the likeliest first; nothing where it means nothing.

    Parameters
    ----------
    text : str
        Anything that `sonorarium.pcs.reading.read_set` reads.
    german : bool
        Whether note names are German, here and in the texts that are given.

    >>> [(one.text, one.subject.title) for one in meanings("C7")]
    [('C7', 'C7'), ('{C7}', 'C7')]
    >>> [one.text for one in meanings("b")], [one.text for one in meanings("h", german=True)]
    (['B', '{B}', 'Bm'], ['H', '{H}'])
    """
    english = from_german(text) if german else text
    found: dict[Meaning, None] = {}
    for place, one in enumerate(readings(text, german=german)):
        shown = subject(text, german=german) if place == 0 else _spelled(english, one)
        typed = next((form for form in _forms(shown, text, german=german) if _means(form, shown, german)), None)
        if typed is not None:
            found[Meaning(typed, shown)] = None
    return tuple(found)


def nearest(text: str, *, german: bool = False) -> tuple[str, ...]:
    """Texts close to one that means nothing, each of which means something; often there are none.

    >>> nearest("D doble harmonik")
    ('D double harmonic', 'D double harmonic b5', 'D double harmonic minor')
    """
    try:
        read_set(text, german=german)
    except InputError as error:
        near = tuple(map(to_german, error.near)) if german else error.near
        return tuple(one for one in near if readings(one, german=german))
    return ()


def in_typed_signs(title: str) -> str:
    """A title with accidentals as they are typed.

    >>> in_typed_signs("B𝄫 E♭ F♯")
    'Bbb Eb F#'
    """
    for sign, typed in _SIGNS:
        title = title.replace(sign, typed)
    return title


def _spelled(text: str, one: Readable) -> Subject:
    """A meaning that is not the first, with the names that were typed where it is a bare set."""
    if isinstance(one, PcSet):
        words = note_words(text)
        capitals = [word[:1].upper() + word[1:] for word in words]
        for names in (capitals, with_flats_joined(words), words):
            written = f"{{{' '.join(names)}}}"
            if readings(written)[:1] == (one,):
                return subject(written)
    return subject(one)


def _forms(shown: Subject, text: str, *, german: bool) -> Iterator[str]:
    """Texts that might mean this, the plainest first."""
    title = in_typed_signs(shown.title)
    for plain in (title, f"{{{title}}}"):
        yield to_german(plain) if german else plain
    yield " ".join(text.split())
    yield f"{{{','.join(map(str, shown.pcset.pcs))}}}" if shown.pcset else "mask 0"


def _means(text: str, meant: Subject, german: bool) -> bool:
    try:
        return _essence(subject(text, german=german)) == _essence(meant)
    except InputError:
        return False


def _essence(s: Subject) -> tuple[object, ...]:
    return s.title, s.pcset, s.notes, s.root, s.bass, s.pitches, s.is_named
