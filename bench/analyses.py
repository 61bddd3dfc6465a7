"""Local keys by human analysts: the RomanText analyses that a registry package carries beside its scores.

Only the keys are read here, by bar and beat; the chords are left out. The form is plain: a line for each bar, a beat
after ``b``, a key before a colon, bars repeated by ``m8-10 = m4-6``.

Source of the form: Tymoczko, Gotham, Cuthbert and Ariza, The RomanText format (ISMIR 2019).
"""

from __future__ import annotations

import re
from dataclasses import dataclass
from fractions import Fraction
from pathlib import Path

import music21

from sonorarium.pcs.spelling import read_note
from sonorarium.score.reading import read_score
from sonorarium.score.score import Score

CORPUS = Path(music21.__file__).parent / "corpus"

_LINE = re.compile(r"m(\d+)(?:-(\d+))?\s+(.*)")
_REPEAT = re.compile(r"=\s*m(\d+)")
_KEY = re.compile(r"([A-Ga-g][#b]*):")


@dataclass(frozen=True)
class LocalKey:
    """A key that holds for a while.

    Parameters
    ----------
    onset, end : int
        Ticks.
    tonic : int
        Pitch class.
    is_major : bool
    """

    onset: int
    end: int
    tonic: int
    is_major: bool

    @property
    def signature(self) -> int:
        """Pitch class of the major key with the same signature."""
        return self.tonic if self.is_major else (self.tonic + 3) % 12


@dataclass(frozen=True, eq=False)
class Analysed:
    """A score and its local keys.

    Parameters
    ----------
    name : str
    path : Path
    score : Score
    keys : tuple of LocalKey
    """

    name: str
    path: Path
    score: Score
    keys: tuple[LocalKey, ...]


def chorales(numbers: range) -> list[Analysed]:
    """Chorales by Bach, by the numbers of Riemenschneider's edition, 1 to 20, where the package has the score."""
    found = []
    for number in numbers:
        analysis = CORPUS / "bach" / "choraleAnalyses" / f"riemenschneider{number:03}.rntxt"
        stated = re.search(r"^BWV:\s*(\S+)", analysis.read_text(encoding="utf-8"), re.MULTILINE)
        name = f"bwv{stated[1] if stated else number}"
        found += _read(name, CORPUS / "bach" / f"{name}.mxl", analysis)
    return found


def madrigals(book: int) -> list[Analysed]:
    """Madrigals by Monteverdi, book 3, 4 or 5."""
    folder = CORPUS / "monteverdi"
    found = []
    for analysis in sorted(folder.glob(f"madrigal.{book}.*.rntxt")):
        found += _read(analysis.stem, analysis.with_suffix(".mxl"), analysis)
    return found


def _read(name: str, path: Path, analysis: Path) -> list[Analysed]:
    """The piece, where the package carries both its score and its analysis."""
    if not path.exists() or not analysis.exists():
        return []
    score = read_score(path)
    return [Analysed(name, path, score, _keys(score, analysis.read_text(encoding="utf-8")))]


def _keys(score: Score, text: str) -> tuple[LocalKey, ...]:
    at_tick: dict[int, str] = {}
    for bar, changes in _changes_by_bar(text).items():
        tick = _downbeat(score, bar)
        if tick is not None:
            at_tick |= {tick[0] + int((beat - 1) * tick[1]): key for beat, key in changes}
    ordered = sorted(at_tick.items())
    ends = [tick for tick, _ in ordered[1:]] + [score.end]
    return tuple(
        LocalKey(onset, end, read_note(key.capitalize()).pc, key[0].isupper())
        for (onset, key), end in zip(ordered, ends, strict=True)
        if end > onset
    )


def _downbeat(score: Score, bar: int) -> tuple[int, Fraction] | None:
    """Tick of beat 1 of a printed bar, and the ticks of a beat; None where there is no such bar."""
    found = (score.bars["label"] == str(bar)).nonzero()[0]
    if not len(found):
        return None
    row = score.bars[found[0]]
    beat = Fraction(4 * score.ticks_per_quarter, int(row["beat_type"]) or 4)
    return int(row["onset"]) - int(row["lead"]), beat


def _changes_by_bar(text: str) -> dict[int, list[tuple[Fraction, str]]]:
    """For each bar, the beats at which a key is stated; the first of each bar is the key in force."""
    found: dict[int, list[tuple[Fraction, str]]] = {}
    key = ""
    for line in text.splitlines():
        match = _LINE.match(line)
        if not match:
            continue
        bar, inside = int(match[1]), match[3]
        repeat = _REPEAT.match(inside)
        if repeat:
            for i in range(int(match[2] or bar) - bar + 1):
                found[bar + i] = found.get(int(repeat[1]) + i, [])
            key = found[bar + i][-1][1] if found[bar + i] else key
        else:
            changes, key = _changes(inside, key)
            found[bar] = changes
    return found


def _changes(inside: str, key: str) -> tuple[list[tuple[Fraction, str]], str]:
    """Keys and beats of one bar, from the key that is in force."""
    beat, out = Fraction(1), [(Fraction(1), key)] if key else []
    for token in inside.split():
        if re.fullmatch(r"b\d+(\.\d+)?", token):
            beat = Fraction(token[1:])
        elif stated := _KEY.fullmatch(token):
            key = stated[1]
            out.append((beat, key))
    return out, key
