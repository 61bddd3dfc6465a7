"""How passages and chains of passages are printed."""

from __future__ import annotations

from fractions import Fraction
from pathlib import Path
from typing import TYPE_CHECKING

from sonorarium.cli.output import console

if TYPE_CHECKING:
    from sonorarium.score.search.chaining import ChainPassage
    from sonorarium.score.search.passage import Elsewhere, Passage, Source

MOST_NOTES = 14
MOST_PLACES = 8


def print_passages(passages: tuple[Passage, ...]) -> None:
    """Print passages, four lines each or more where there is more to say."""
    for number, passage in enumerate(passages, start=1):
        lines = [_where(passage.source, passage.bars), _what(passage), notes_of(passage)]
        _print(number, [*lines, *_more(passage)])


def print_chains(chains: tuple[ChainPassage, ...]) -> None:
    """Print chains, a line for the place and one for each of its passages."""
    for number, chain in enumerate(chains, start=1):
        first = chain.passages[0]
        gaps = ("", *(f"{_gap(gap)}: " for gap in chain.gaps_quarters))
        pairs = zip(gaps, chain.passages, strict=True)
        rows = [f"{gap}{_what(passage)}: {notes_of(passage, 6)}" for gap, passage in pairs]
        _print(number, [f"{_where(first.source, chain.extent.bars)}; salience {chain.salience:.2f}", *rows])


def near_line(passage: Passage) -> str:
    """A near find in one line: what it is, what differs, where."""
    differs = f" ({passage.near.difference})" if passage.near else ""
    return f"{passage.kind} of {passage.label}{differs}: {_where(passage.source, passage.bars)}"


def count(number: int, thing: str) -> str:
    """A number with its thing, in the plural where it is not one."""
    return f"{number} {thing}" if number == 1 else f"{number} {thing}s"


def notes_of(passage: Passage, most: int = MOST_NOTES) -> str:
    """The notes of a passage, or the first of them."""
    shown = " ".join(passage.notes[:most])
    left = len(passage.notes) - most
    return f"{shown} … and {left} more" if left > 0 else shown


def _print(number: int, lines: list[str]) -> None:
    out = console()
    for place, line in enumerate(lines):
        out.print(f"{number:>3}  {line}" if not place else f"     {line}", soft_wrap=True)


def _where(source: Source, bars: tuple[str, str]) -> str:
    title = source.title or Path(source.path).name
    composer = f"{source.composer}, " if source.composer else ""
    return f"{composer}{title}, {_bars(bars)}   [{Path(source.path).name}]"


def _what(passage: Passage) -> str:
    tight = f"tightest in {_bars(passage.tightest.bars)}"
    beats = f"beat {_beat(passage.first.beat)} to beat {_beat(passage.last.beat)}"
    return (
        f"{passage.kind} of {passage.label} at {passage.transposition}, {beats}; {tight}; "
        f"salience {passage.salience.total:.2f}; {', '.join(p for p in passage.parts if p) or 'unnamed part'}"
    )


def _more(passage: Passage) -> list[str]:
    """What differs, how it is taught, where it comes again."""
    said = []
    if passage.near:
        said.append(f"near: {passage.near.difference}")
    if passage.besides:
        said.append(f"besides: pitch class {', '.join(map(str, passage.besides.pcs))}")
    said.append(_taught(passage))
    if passage.repeats:
        said.append(f"again in {_places(passage.repeats)}")
    if passage.transposed:
        said.append(f"transposed in {_places(passage.transposed)}")
    return said


def _taught(passage: Passage) -> str:
    facts = passage.teachability
    if facts is None:
        return ""
    long = f"{float(facts.length_bars):.3g} {'bar' if facts.length_bars == 1 else 'bars'} long"
    density = f"{float(facts.notes_per_bar):.3g} notes a bar"
    begins = " after a rest" if facts.after_rest else ""
    return (
        f"teachability {facts.total:.2f}: {long}, {_staves(facts.staves)}, {count(facts.notes, 'note')}, "
        f"at most {facts.at_once} at once, {density}, begins {'with' if facts.begins_bar else 'inside'} a bar{begins}"
    )


def _staves(number: int) -> str:
    return "1 staff" if number == 1 else f"{number} staves"


def _places(places: tuple[Elsewhere, ...]) -> str:
    shown = [f"{_bars(one.extent.bars)}{_moved(one.semitones)}" for one in places[:MOST_PLACES]]
    left = len(places) - MOST_PLACES
    return ", ".join(shown) + (f" and {count(left, 'more place')}" if left > 0 else "")


def _moved(semitones: int) -> str:
    return f" ({semitones:+d})" if semitones else ""


def _gap(quarters: Fraction) -> str:
    if quarters < 0:
        return f"overlapping by {count_quarters(-quarters)}"
    return f"{count_quarters(quarters)} later" if quarters else "at once"


def count_quarters(quarters: Fraction) -> str:
    """A time in quarters: ``1 quarter``, ``3/2 quarters``."""
    return "1 quarter" if quarters == 1 else f"{quarters} quarters"


def _beat(beat: Fraction) -> str:
    """A beat as a mixed number: ``2 2/3``."""
    whole, part = divmod(beat, 1)
    return f"{whole} {part}" if part else str(whole)


def _bars(bars: tuple[str, str]) -> str:
    return f"bar {bars[0]}" if bars[0] == bars[1] else f"bars {bars[0]}–{bars[1]}"
