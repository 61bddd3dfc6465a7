"""The definitions of passages written out as plain loops: slow, and meant to be checked by reading.

Nothing here is shared with the search that it checks, apart from the tables of the score itself.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass
from fractions import Fraction
from itertools import pairwise
from typing import NamedTuple

from sonorarium.score.score import Score


class Item(NamedTuple):
    """A slice or a note; ``pcs`` as a mask, 0 for silence; ``row`` of a note, else -1."""

    pcs: int
    onset: int
    end: int
    row: int

    @property
    def weight(self) -> int:
        return self.end - self.onset if self.pcs else 0


@dataclass(frozen=True, order=True)
class Seen:
    """What must agree with a passage."""

    kind: str
    onset: int
    end: int
    mask: int
    rows: tuple[int, ...]
    tight: tuple[int, int]
    foreign: Fraction
    salience: tuple[float, ...]


class Asked(NamedTuple):
    """Options of a search, as plain values; bars as indices of the first and the last."""

    tolerance: Fraction = Fraction(0)
    extra: int = 0
    struck: bool = False
    bars: tuple[int, int] | None = None
    bass: int | None = None
    top: int | None = None
    least_bars: Fraction = Fraction(0)
    most_bars: Fraction | None = None
    most_quarters: Fraction | None = None


class Span(NamedTuple):
    """A note that counts, and from when to when."""

    row: int
    onset: int
    end: int
    pitch: int


def seen(
    score: Score,
    masks: Sequence[int],
    *,
    parts: Sequence[int] | None = None,
    tolerance: Fraction = Fraction(0),
    asked: Asked | None = None,
) -> list[Seen]:
    """Every passage of every kind, in no particular order."""
    asked = asked or Asked(tolerance)
    plain = [_span(score, r) for r in range(len(score.notes)) if _counts(score, r, parts)]
    spans, voiced = _clipped(score, _struck(plain) if asked.struck else plain, asked), _clipped(score, plain, asked)
    if asked.struck and asked.bars:
        start = int(score.bars["onset"][asked.bars[0]])
        spans = [span for span in spans if score.notes["onset"][span.row] >= start]
    slices = _slices(score, spans)
    found = []
    for mask in masks:
        for i, j in _chords(slices, mask, asked, spans):
            found.append(_seen("chord", score, spans, slices, (i, j), mask))
        for i, j in _runs(slices, mask, asked.tolerance):
            found.append(_seen("texture", score, spans, slices, (i, j), mask))
        for line in _lines(score, voiced):
            for i, j in _runs(line, mask, asked.tolerance):
                found.append(_seen("line", score, voiced, line, (i, j), mask))
    return [one for one in found if _allowed(score, one, asked, voiced if one.kind == "line" else spans)]


def _span(score: Score, row: int) -> Span:
    n = score.notes[row]
    return Span(row, int(n["onset"]), int(n["onset"] + n["duration"]), int(n["pitch"]))


def _struck(spans: list[Span]) -> list[Span]:
    """Let each note count until another is struck, or until all that were struck with it have ended."""
    out = []
    for span in spans:
        together = max(other.end for other in spans if other.onset == span.onset)
        later = [other.onset for other in spans if other.onset > span.onset]
        out.append(span._replace(end=min([together, *later])))
    return out


def _clipped(score: Score, spans: list[Span], asked: Asked) -> list[Span]:
    if asked.bars is None:
        return spans
    first, last = (score.bars[index] for index in asked.bars)
    a, b = int(first["onset"]), int(last["onset"] + last["duration"])
    clipped = [span._replace(onset=max(span.onset, a), end=min(span.end, b)) for span in spans]
    return [span for span in clipped if span.onset < span.end]


def _allowed(score: Score, one: Seen, asked: Asked, spans: list[Span]) -> bool:
    length, bar = one.end - one.onset, _bar_length(score, one.onset)
    if Fraction(length, bar) < asked.least_bars:
        return False
    if asked.most_bars is not None and Fraction(length, bar) > asked.most_bars:
        return False
    if asked.most_quarters is not None and Fraction(length, score.ticks_per_quarter) > asked.most_quarters:
        return False
    if one.kind == "chord":
        return True
    pitches = [span.pitch for span in spans if span.row in one.rows]
    return _bounded(pitches, asked)


def _bounded(pitches: list[int], asked: Asked) -> bool:
    return (asked.bass is None or min(pitches) % 12 == asked.bass) and (
        asked.top is None or max(pitches) % 12 == asked.top
    )


def _counts(score: Score, row: int, parts: Sequence[int] | None) -> bool:
    n = score.notes[row]
    marked = n["grace"] or n["cue"] or n["hidden"] or n["pitch"] < 0 or n["duration"] == 0
    return not marked and (parts is None or int(n["part"]) in parts)


def _slices(score: Score, spans: list[Span]) -> list[Item]:
    cuts = sorted({0, score.end} | {span.onset for span in spans} | {span.end for span in spans})
    out = []
    for a, b in pairwise(cuts):
        pcs = 0
        for span in spans:
            if span.onset < b and span.end > a:
                pcs |= 1 << span.pitch % 12
        out.append(Item(pcs, a, b, -1))
    return out


def _bar_length(score: Score, tick: int) -> int:
    bar = score.bars[score.bar_at(tick)]
    if not bar["beats"]:
        return max(1, int(bar["duration"]))
    return math.ceil(Fraction(int(bar["beats"]) * 4 * score.ticks_per_quarter, int(bar["beat_type"])))


def _lines(score: Score, spans: list[Span]) -> list[list[Item]]:
    """The notes of each voice, cut at long rests."""
    voices: dict[tuple[int, int], list[Item]] = {}
    for span in sorted(spans, key=lambda span: (span.onset, span.pitch, span.row)):
        n = score.notes[span.row]
        item = Item(1 << span.pitch % 12, span.onset, span.end, span.row)
        voices.setdefault((int(n["part"]), int(n["voice"])), []).append(item)
    lines = []
    for voice in voices.values():
        line: list[Item] = []
        for item in voice:
            silent_from = max((before.end for before in line), default=item.onset)
            if item.onset - silent_from > _bar_length(score, silent_from):
                lines.append(line)
                line = []
            line.append(item)
        lines.append(line)
    return lines


def _chords(slices: list[Item], mask: int, asked: Asked, spans: list[Span]) -> list[tuple[int, int]]:
    def fits(item: Item) -> bool:
        others = (item.pcs & ~mask).bit_count()
        if item.pcs & mask != mask or others > asked.extra:
            return False
        return _bounded([span.pitch for span in spans if span.onset < item.end and span.end > item.onset], asked)

    out = []
    for i in range(len(slices)):
        if fits(slices[i]) and (i == 0 or not fits(slices[i - 1])):
            j = i
            while j + 1 < len(slices) and fits(slices[j + 1]):
                j += 1
            out.append((i, j))
    return out


def _runs(items: list[Item], mask: int, tolerance: Fraction) -> list[tuple[int, int]]:
    if tolerance:
        return _tolerant(items, 0, len(items), mask, tolerance)
    out = []
    for i in range(len(items)):
        if not items[i].pcs or items[i].pcs & ~mask or _may_go_on(items, i, -1, mask):
            continue
        union = 0
        for j in range(i, len(items)):
            if items[j].pcs & ~mask:
                break
            union |= items[j].pcs
            if union == mask and items[j].pcs and not _may_go_on(items, j, 1, mask):
                out.append((i, j))
    return out


def _may_go_on(items: list[Item], at: int, step: int, mask: int) -> bool:
    """Whether the next item that is not silent is there and takes in nothing foreign."""
    at += step
    while 0 <= at < len(items) and not items[at].pcs:
        at += step
    return 0 <= at < len(items) and not items[at].pcs & ~mask


def _tolerant(items: list[Item], start: int, stop: int, mask: int, tolerance: Fraction) -> list[tuple[int, int]]:
    best: tuple[int, int, int] | None = None
    for i in range(start, stop):
        if not items[i].pcs or items[i].pcs & ~mask:
            continue
        union = foreign = weight = 0
        for j in range(i, stop):
            union |= items[j].pcs & mask
            weight += items[j].weight
            foreign += items[j].weight if items[j].pcs & ~mask else 0
            ends_well = items[j].pcs and not items[j].pcs & ~mask
            longer = best is None or weight > best[0]
            if ends_well and union == mask and foreign <= tolerance * weight and longer:
                best = (weight, i, j)
    if best is None:
        return []
    _, i, j = best
    before, after = ((start, i), (j + 1, stop))
    return [*_tolerant(items, *before, mask, tolerance), (i, j), *_tolerant(items, *after, mask, tolerance)]


def _seen(kind: str, score: Score, spans: list[Span], items: list[Item], at: tuple[int, int], mask: int) -> Seen:
    i, j = at
    inside = items[i : j + 1]
    onset, end = inside[0].onset, max(item.end for item in inside)
    if kind == "line":
        shown = [item.row for item in inside]
    else:
        shown = [span.row for span in spans if span.onset < end and span.end > onset]
    tight = _tightest(inside, mask)
    foreign = Fraction(sum(item.weight for item in inside if item.pcs & ~mask), sum(item.weight for item in inside))
    salience = _salience(score, items, at, mask, tight)
    return Seen(kind, onset, end, mask, tuple(shown), tight[:2], foreign, salience)


def _tightest(inside: list[Item], mask: int) -> tuple[int, int, int]:
    """Onset, end, and time until the last pitch class enters, of the shortest stretch; of equals the earliest."""
    best: tuple[int, int, int, int] | None = None
    for i in range(len(inside)):
        union, end = 0, 0
        for j in range(i, len(inside)):
            union |= inside[j].pcs & mask
            end = max(end, inside[j].end)
            if union == mask:
                ticks = end - inside[i].onset
                if best is None or ticks < best[0]:
                    best = (ticks, inside[i].onset, end, inside[j].onset - inside[i].onset)
                break
    assert best is not None
    return best[1:]


def _salience(
    score: Score, items: list[Item], at: tuple[int, int], mask: int, tight: tuple[int, int, int]
) -> tuple[float, ...]:
    i, j = at
    inside = items[i : j + 1]
    onset, end = inside[0].onset, max(item.end for item in inside)
    bar = _bar_length(score, onset)
    time = [sum(item.weight for item in inside if item.pcs >> pc & 1) for pc in range(12) if mask >> pc & 1]
    shares = [t / sum(time) for t in time]
    evenness = -sum(q * math.log(q) for q in shares) / math.log(len(time)) if len(time) > 1 else 1.0
    near = [k for k in range(i) if k == i - 1 or items[k].onset >= onset - bar]
    near += [k for k in range(j + 1, len(items)) if k == j + 1 or items[k].onset < end + bar]
    sounding = sum(items[k].weight for k in near)
    foreign = sum(items[k].weight for k in near if items[k].pcs & ~mask)
    distinctness = foreign / sounding if sounding else 1.0
    extent = (end - onset) / (end - onset + bar)
    return 1 / (1 + tight[2] / bar), evenness, extent, distinctness, _strength(score, onset)


def _strength(score: Score, tick: int) -> float:
    bar, beat = score.bars[score.bar_at(tick)], score.beat_at(tick) - 1
    beats, beat_type = int(bar["beats"]), int(bar["beat_type"])
    if beat == 0:
        return 1.0
    felt = beat / 3 if beats > 3 and beats % 3 == 0 and beat_type >= 8 else beat
    count = beats // 3 if felt != beat else beats
    if not beats or felt.denominator != 1:
        return 0.25
    return 0.75 if count % 2 == 0 and felt == Fraction(count, 2) else 0.5
