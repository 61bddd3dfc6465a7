"""A span: a stretch of a piece, the collection it is traced to, and how sure that is.

Conventions
-----------
* **Verdict.** ``decided``: one collection of the family leads the others by a stated margin, and more than half of
  its notes are heard. ``undecided``: several collections hold the stretch about as well, or too little is heard to
  claim
  one; the readings say which come into question. ``none of these``: no collection of the family explains the stretch
  as well as a larger stock of notes would; the readings say which come nearest. ``silent``: nothing sounds.
* **Posterior** is the probability that the first reading holds, on the average of the span's time, all possible
  courses of the whole piece considered. It is as trustworthy as the model is
  (`sonorarium.score.analysis.tracemodel`).
* **Log-odds** of a reading: how much less likely it is for this span as a whole than the first, its neighbours
  being as they are, in natural logarithms: 0 for the first, −2.3 for one that is ten times less likely.
"""

from __future__ import annotations

from dataclasses import dataclass
from fractions import Fraction
from typing import Literal, TypeAlias

from sonorarium.pcs.family import Member
from sonorarium.pcs.pcset import PcSet
from sonorarium.score.analysis.centre import Centre

NONE = "none of these"

TEN_TIMES = 2.303
"""Log-odds of one to ten."""

Verdict: TypeAlias = Literal["decided", "undecided", "none of these", "silent"]


@dataclass(frozen=True)
class SpanReading:
    """One reading of a span.

    Parameters
    ----------
    member : Member or None
        The collection; None for none of these.
    log_odds : float
        0 or less: against the first reading.
    inside : float
        Share of the sounding time that lies inside it; for none of these, inside the set that is heard instead.
    missing : tuple of int
        Pitch classes of it that are not heard.
    """

    member: Member | None
    log_odds: float
    inside: float
    missing: tuple[int, ...] = ()

    @property
    def name(self) -> str:
        """Name of the collection, or ``none of these``."""
        return self.member.name if self.member else NONE


@dataclass(frozen=True)
class Span:
    """A stretch of a piece and its collection.

    Parameters
    ----------
    onset, end : int
        Ticks.
    bar_indices : (int, int)
        First and last bar that it touches, as indices into `Score.bars`.
    bars : (str, str)
        Their printed numbers.
    beats : (Fraction, Fraction)
        Beat of the first bar on which it begins, and beat of the last bar up to which it lasts.
    verdict : {"decided", "undecided", "none of these", "silent"}
    heard : PcSet
        What is really heard: the notes that the first reading holds, or all that sound where that is none of these.
    foreign : PcSet
        The other notes that sound.
    inside : float
        Share of the sounding time that lies inside the first reading, or in ``heard``.
    posterior : float
        0 to 1: probability of the first reading.
    readings : tuple of SpanReading
        Best first; empty where nothing sounds.
    centre : Centre or None
        The likely centre; None where nothing sounds.
    """

    onset: int
    end: int
    bar_indices: tuple[int, int]
    bars: tuple[str, str]
    beats: tuple[Fraction, Fraction]
    verdict: Verdict
    heard: PcSet
    foreign: PcSet
    inside: float
    posterior: float
    readings: tuple[SpanReading, ...]
    centre: Centre | None

    def __str__(self) -> str:
        return self.sentence

    @property
    def collection(self) -> Member | None:
        """The collection with its root and spelling; None unless the span is decided."""
        return self.readings[0].member if self.verdict == "decided" else None

    @property
    def nearest(self) -> Member | None:
        """The best collection of the family, decided or not; None where nothing sounds."""
        return next((reading.member for reading in self.readings if reading.member), None)

    @property
    def label(self) -> str:
        """Label of what is really heard."""
        return self.heard.label

    @property
    def close(self) -> tuple[SpanReading, ...]:
        """The readings that come into question: none is ten times less likely than the first."""
        return tuple(reading for reading in self.readings if reading.log_odds > -TEN_TIMES)

    @property
    def candidates(self) -> tuple[Member, ...]:
        """The collections that come into question."""
        return tuple(reading.member for reading in self.close if reading.member)

    @property
    def lead(self) -> float | None:
        """By how much the first reading leads the second, in natural logarithms; None where there is no second."""
        return -self.readings[1].log_odds if len(self.readings) > 1 else None

    @property
    def sentence(self) -> str:
        """The span in one sentence."""
        first, last = self.bars
        place = f"bar {first}" if first == last else f"bars {first}–{last}"
        if self.verdict == "silent":
            return f"{place}: nothing sounds."
        words = {
            "decided": self._first,
            "undecided": self._in_question,
            "none of these": f"{NONE}, nearest {self.nearest}",
        }
        return f"{place}: {words[self.verdict]} ({self.label} heard, {self.inside:.0%} inside).".replace("%", " %")

    @property
    def _first(self) -> str:
        return self.readings[0].name if self.readings else ""

    @property
    def _in_question(self) -> str:
        """Why the span is undecided."""
        if len(self.close) > 1:
            return "undecided between " + ", ".join(reading.name for reading in self.close)
        first = self.readings[0]
        if first.member and 2 * len(first.missing) >= first.member.cardinality:
            return f"undecided, too little is heard; nearest {first.name}"
        return f"undecided; {first.name} leads by too little"

    def as_dict(self) -> dict[str, object]:
        """Plain values for JSON."""
        centre = self.centre
        return {
            "onset": self.onset,
            "end": self.end,
            "bars": list(self.bars),
            "beats": [str(beat) for beat in self.beats],
            "verdict": self.verdict,
            "collection": self.collection.name if self.collection else None,
            "spelling": [note.text for note in self.collection.spelling] if self.collection else None,
            "heard": list(self.heard.pcs),
            "label": self.label,
            "foreign": list(self.foreign.pcs),
            "inside": round(self.inside, 4),
            "posterior": round(self.posterior, 4),
            "readings": [
                {"name": r.name, "log_odds": round(r.log_odds, 3), "inside": round(r.inside, 4)}
                for r in self.readings
            ],
            "centre": centre.note.text if centre and centre.note else None,
            "centre_evidence": centre.sentence if centre else None,
        }
