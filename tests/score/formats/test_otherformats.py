"""Kern, ABC, MEI and MIDI note by note against a second reader, on the open files that music21 carries.

What is compared: the multiset of (onset, sounding pitch, duration after joining ties) of each file, over all pitched
notes without grace notes. Nothing but equality passes, except for what the tables below name; each entry says what
was found in the file, and the test checks that the difference is still there and is of that kind.

* **kern**: every file of Bach, Beethoven and Chopin, and every sixth of Palestrina, against music21.
* **ABC**: every eighth file, up to six tunes of each, against music21, told by ``%abc-2.1`` to read by the standard.
* **MEI**: every third MusicXML file of the sample of `test_corpus`, made MEI by verovio and read from that, against
  our own reading of the MusicXML. The corpus carries no MEI.
* **MIDI**: the files of music21's own tests against partitura.
"""

from __future__ import annotations

import re
import warnings
from collections import Counter
from dataclasses import dataclass
from fractions import Fraction
from pathlib import Path
from typing import Any

import pytest

from sonorarium.score.formats.abctext import file_header, tunes_of
from sonorarium.score.formats.importing import shared_importer
from sonorarium.score.formats.mei import read_mei
from sonorarium.score.formats.sniffing import text_of
from sonorarium.score.notenames import sounding_names
from sonorarium.score.reading import read_score, score_of
from sonorarium.score.remarks import Findings
from sonorarium.score.score import Score
from tests.score.formats.test_corpus import CORPUS, SAMPLE
from tests.score.other_readers import Head, Row, document, grid, joined

Rows = Counter[Row]


def ours(score: Score) -> Rows:
    notes = score.notes[(score.notes["pitch"] >= 0) & ~score.notes["grace"]]
    quarter = score.ticks_per_quarter
    found: Rows = Counter()
    for onset, pitch, duration in notes[["onset", "pitch", "duration"]].tolist():
        start, end = (grid(Fraction(tick, quarter)) for tick in (onset, onset + duration))
        found[start, pitch, end - start] += 1
    return found


def music21_rows(source: str | Path, form: str) -> Rows:
    with warnings.catch_warnings():
        warnings.simplefilter("ignore")
        from music21 import converter

        stream = converter.parse(source, format=form, forceSource=True)
        heads = [head for place, part in enumerate(stream.parts) for head in _music21_heads(str(place), part)]
    return sum(joined(heads).values(), Counter())


def _music21_heads(name: str, part: Any) -> list[Head]:
    from music21 import chord, harmony

    heads: list[Head] = []
    for element in part.recurse().notes:
        if isinstance(element, harmony.Harmony) or element.duration.isGrace:
            continue
        onset = element.getOffsetInHierarchy(part)
        length = grid(onset + element.quarterLength) - grid(onset)
        for one in element.notes if isinstance(element, chord.ChordBase) else [element]:
            kind = one.tie.type if one.tie else ""
            stops, starts = kind in ("stop", "continue"), kind in ("start", "continue")
            heads.append(Head(name, 0, grid(onset), 0, length, int(one.pitch.midi), stops, starts))
    return heads


# Kern


def _kern_sample() -> list[str]:
    paths = sorted(path.relative_to(CORPUS).as_posix() for path in CORPUS.rglob("*.krn"))
    palestrina = [path for path in paths if path.startswith("palestrina")]
    return [path for path in paths if not path.startswith("palestrina")] + palestrina[::6]


KERN = _kern_sample()
OPEN_TIES = {"beethoven/opus18no1/movement4.krn": 5}
"""Ties whose start ``[`` has no end ``]`` in the file, though a note of the same pitch follows (bars 51, 258, 287,
319, 366): we join them and say so, music21 leaves two notes."""


@pytest.mark.parametrize("name", KERN)
def test_kern(name: str) -> None:
    score = read_score(CORPUS / name)
    theirs = music21_rows(CORPUS / name, "humdrum")
    only_ours, only_theirs = ours(score) - theirs, theirs - ours(score)
    assert all("were read." not in remark.what for remark in score.remarks), "all notes written came through"
    count = OPEN_TIES.get(name, 0)
    assert (only_ours.total(), only_theirs.total()) == (count, 2 * count)
    for onset, pitch, duration in only_ours:
        parts = sorted(row for row in only_theirs if row[1] == pitch and onset <= row[0] < onset + duration)
        assert sum(row[2] for row in parts) == duration
    guessed = [remark for remark in score.remarks if remark.what.startswith("A tie has no marked end")]
    places = [re.search(r"\((\d+) places", one.what) for one in guessed]
    assert sum(int(found[1]) if found else 1 for found in places) == count


def test_the_sample_of_kern_is_what_the_page_says() -> None:
    assert len(KERN) == 8 + 220


# ABC


@dataclass(frozen=True)
class Difference:
    """What is different in a tune, and why.

    Parameters
    ----------
    why : str
    only_ours, only_theirs : int
        Notes that one reader has and the other has not.
    cause, without : str
        The signs in the tune that it comes from, and what the same music looks like without: then both agree.
    """

    why: str
    only_ours: int
    only_theirs: int
    cause: str
    without: str


ABC = sorted(path.relative_to(CORPUS).as_posix() for path in CORPUS.rglob("*.abc"))[1::8]

DIFFERENCES = {
    ("testd.abc", "4"): Difference(
        "A D made natural earlier in the bar is tied over the bar line; music21 sharpens the tied D again.",
        1,
        2,
        "ED- | D",
        "ED | =D",
    ),
    ("0550-0625.abc", "563"): Difference(
        "Broken rhythm over a grace note, twice; music21 leaves the two notes equal.",
        4,
        4,
        "(G>{B}A)",
        "(G>A)",
    ),
    ("0550-0625.abc", "591"): Difference(
        "An invisible rest x, half a quarter long; music21 gives it no time.", 50, 50, "Hx", ""
    ),
    ("EssenceOfOldKentucky.abc", "20"): Difference(
        "Ties marked inside the brackets of chords; music21 joins none of the four.", 4, 8, "3-", "3"
    ),
    ("JohnieQueensClog.abc", "1"): Difference(
        "A mail program's =20 before a c; music21 takes the = for a natural sign.", 1, 1, "=20\n", "\n"
    ),
    ("MissDalysJig.abc", "1"): Difference(
        "An invisible rest x, half a quarter long; music21 gives it no time.", 63, 63, "x |]", "|]"
    ),
    ("WalkAroundBrudderBones.abc", "4"): Difference(
        "A flat that holds to the end of the bar, in chords; music21 says in its source that it leaves chords out.",
        1,
        1,
        "[b_d] k[bd]",
        "[b_d] k[b_d]",
    ),
}


def tunes(name: str) -> list[tuple[str, str]]:
    """Up to six tunes of a file, each as a file of its own, with their numbers."""
    text = text_of((CORPUS / name).read_bytes(), Findings())
    found = tunes_of(text)
    header = file_header(text)
    return [
        (tune.number, header + "\n".join([*tune.header, *tune.body, ""]))
        for tune in found[:: max(1, len(found) // 5)]
    ]


_FIELD = re.compile(r"[A-Za-z+]:(?![|:])")
_WORDS = re.compile(r'%.*|"[^"]*"|![A-Za-z0-9+<>().,^_/:-]+!')
_SIGNS = re.compile(r"\((?!\d)|\)|[.~`$\\!]|[H-Wh-w](?=[\[\]A-Ga-gxz^_={(\s|.])")


def plain(tune: str) -> str:
    """The same music without what music21 stumbles over.

    music21 reads ``A>B`` as two equal notes where a slur, a staccato or a grace note stands between sign and note,
    drops notes beside ``::``, takes a ``>`` in an annotation for broken rhythm, and a slur before a tuplet for none.
    """
    head, _, rest = tune.partition("\nK:")
    key, *lines = rest.split("\n")
    music: list[str] = []
    for line in lines:
        if _FIELD.match(line):
            music += [f"\n{line}\n"] if line[:2] in ("K:", "M:", "L:") else []
        elif not line.startswith("%"):
            music.append(_SIGNS.sub("", _WORDS.sub("", line)).replace("::", ":||:") + " ")
    body = re.sub(r" *([<>]+) *", r"\1", "".join(music))
    return f"{head}\nK:{key}\n{body}\n"


@pytest.mark.parametrize("name", ABC)
def test_abc(name: str) -> None:
    for number, tune in tunes(name):
        found = _differing(tune)
        difference = DIFFERENCES.get((Path(name).name, number))
        if difference is None:
            assert found == (0, 0), (number, tune)
        else:
            assert found == (difference.only_ours, difference.only_theirs), (number, tune)
            assert difference.cause in tune
            assert _differing(tune.replace(difference.cause, difference.without)) == (0, 0), (number, tune)


def _differing(tune: str) -> tuple[int, int]:
    """How many notes each reader has alone; where they differ, music21 is given the tune in plain form."""
    mine, theirs = ours(score_of(tune.encode())), _music21_abc(tune)
    if mine != theirs:
        theirs = _music21_abc(plain(tune))
    return (mine - theirs).total(), (theirs - mine).total()


def test_most_tunes_agree_as_they_stand() -> None:
    agree = [ours(score_of(tune.encode())) == _music21_abc(tune) for name in ABC[::4] for _, tune in tunes(name)]
    assert sum(agree) > 0.8 * len(agree)


def _music21_abc(tune: str) -> Rows:
    from music21.abcFormat import ABCHandlerException, ABCTokenException
    from music21.exceptions21 import Music21Exception

    try:
        return music21_rows(f"%abc-2.1\n{tune}", "abc")
    except (ABCHandlerException, ABCTokenException, Music21Exception, ValueError, AttributeError, IndexError):
        return Counter()


# MEI

MEI = SAMPLE[::3]


def through_verovio(path: Path) -> Score:
    data = document(path)
    text = data.decode("utf-16") if data.startswith((b"\xff\xfe", b"\xfe\xff")) else data.decode("utf-8")
    mei, _ = shared_importer().mei(text, "xml")
    return read_mei(mei.encode())


@pytest.mark.parametrize("name", MEI)
def test_mei(name: str) -> None:
    direct, through = read_score(CORPUS / name), through_verovio(CORPUS / name)
    found = (ours(direct) - ours(through)).total(), (ours(through) - ours(direct)).total()
    assert found == MEI_DIFFERENCES.get(name, ("", (0, 0)))[1]
    assert through.bars["label"].tolist() == direct.bars["label"].tolist()
    assert len(through.parts) == len(direct.parts)
    if name not in MEI_DIFFERENCES:
        names = [sorted(sounding_names(score.notes[score.sounding])) for score in (direct, through)]
        assert names[0] == names[1]


MEI_DIFFERENCES = {
    "schumann_robert/dichterliebe_no2.xml": (
        "Two voices tie the same A at the same time; verovio lets both ties lead to the same note.",
        (2, 1),
    ),
    "trecento/PMFC_13_07-Gloria Laus Honor.xml": (
        "Editorial accidentals above the staff; verovio writes <accid/> without saying which.",
        (69, 69),
    ),
}


# MIDI

MIDI = sorted((CORPUS.parent / "midi" / "testPrimitive").glob("*.mid"))


@pytest.mark.parametrize("path", MIDI, ids=lambda path: path.stem)
def test_midi(path: Path) -> None:
    import mido

    with warnings.catch_warnings():
        warnings.simplefilter("ignore")
        import partitura

        array = partitura.load_performance_midi(path).note_array()
    file = mido.MidiFile(path, clip=True)
    score = read_score(path)
    finer = file.ticks_per_beat
    mine = Counter(
        (onset * finer // score.ticks_per_quarter, pitch, duration * finer // score.ticks_per_quarter)
        for onset, pitch, duration in score.notes[["onset", "pitch", "duration"]].tolist()
    )
    theirs = Counter(
        zip(
            array["onset_tick"].tolist(),
            array["pitch"].tolist(),
            array["duration_tick"].tolist(),
            strict=True,
        )
    )
    again = _struck_again(file)
    assert (mine - theirs).total() == again, "partitura loses keys that are struck again before they come up"
    assert not theirs - mine


def _struck_again(file: Any) -> int:
    """How many keys go down while they are down."""
    count = 0
    for track in file.tracks:
        down: Counter[tuple[int, int]] = Counter()
        for event in track:
            if event.type not in ("note_on", "note_off"):
                continue
            key = event.channel, event.note
            if event.type == "note_on" and event.velocity:
                count += down[key] > 0
                down[key] += 1
            else:
                down[key] = max(0, down[key] - 1)
    return count
