"""What a course leaves out: scales of the family, classes that matter, pieces, and sets that were kept for it.

A class **matters** here where a scale that the course shows has it and no sister of the family has: such classes are
what a listener cannot get elsewhere, and a lesson on the scale that neither shows nor lists one has left it out.
"""

from __future__ import annotations

from dataclasses import dataclass

from sonorarium.errors import InputError
from sonorarium.lesson.courses.ledger import LEAST, Ledger
from sonorarium.pcs.families import default_family
from sonorarium.pcs.family import Family
from sonorarium.pcs.setclass import SetClass
from sonorarium.pcs.sisters import sisters
from sonorarium.study.folder import Study
from sonorarium.study.remarks import kept_sets


@dataclass(frozen=True)
class Gaps:
    """What a course leaves out.

    Parameters
    ----------
    family : str
        The family it is held against.
    kinds : tuple of str
        Scales of the family that no lesson shows.
    only_here : tuple of (str, tuple of SetClass)
        For each scale shown that has some, the classes that no sister has and no lesson shows or lists.
    pieces : tuple of str
        Pieces of the study that no lesson uses.
    kept : tuple of str
        Sets kept in the study that no lesson shows or lists, not even their class.
    """

    family: str
    kinds: tuple[str, ...]
    only_here: tuple[tuple[str, tuple[SetClass, ...]], ...]
    pieces: tuple[str, ...]
    kept: tuple[str, ...]

    def __bool__(self) -> bool:
        return bool(self.kinds or self.only_here or self.pieces or self.kept)


def gaps(ledger: Ledger, study: Study, family: Family | None = None) -> Gaps:
    """Say what a course leaves out.

    Parameters
    ----------
    ledger : Ledger
    study : Study
        Its pieces and the sets kept in it.
    family : Family, optional
        By default the scales without consecutive semitones.
    """
    family = family or default_family()
    shown = {meeting.pcset.label for meeting in ledger.collections}
    used = {piece for entry in ledger.entries for piece, _ in entry.pieces}
    pieces = (path.relative_to(study.folder).as_posix() for path in study.pieces())
    return Gaps(
        family.name,
        tuple(kind.name for kind in family.kinds if kind.label not in shown),
        tuple(_only_here(ledger, family)),
        tuple(piece for piece in pieces if piece not in used),
        tuple(_not_taught(ledger, study)),
    )


def _only_here(ledger: Ledger, family: Family) -> list[tuple[str, tuple[SetClass, ...]]]:
    found = []
    for meeting in ledger.collections:
        table = sisters(meeting.pcset, family, sizes=range(LEAST, meeting.pcset.cardinality))
        left = tuple(row.set_class for row in table.only_here if row.set_class not in ledger.by_class)
        if left:
            found.append((meeting.title, left))
    return found


def _not_taught(ledger: Ledger, study: Study) -> list[str]:
    found = []
    for one in kept_sets(study).sets:
        try:
            taught = one.pcset.set_class in ledger.by_class
        except InputError:
            continue  # what stands on the card is no set; listing the study says so
        if not taught:
            found.append(one.what)
    return found
