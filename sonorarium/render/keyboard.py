"""The keyboard: a stretch of piano keys with the notes of a set or a voicing on them.

* a disc on a key: its note sounds; the name stands under the key, over it for a black one;
* a triangle points to the root;
* a disc in a ring of the accent colour: the note belongs to a second set, a chord in a scale say; a ring alone: it
  belongs to the second set only.

Keys keep their own black and white on a dark page, as the keys of a piano do; everything around them is in the page's
ink. A black key is drawn where pianos have it, off the middle between its neighbours (common practice): three in a
group stand wider than two.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass

from sonorarium.errors import InputError
from sonorarium.pcs.spelling import NATURAL_PC
from sonorarium.render.pen import Point, Stroke, disc, figure, path, ring, root_mark, text

WHITE, HIGH = 40, 172
BLACK, SHORT = 24, 108
_ABOVE, _BELOW, _SIDE = 44, 40, 8
_IVORY, _EBONY, _EDGE = "#fffdf7", "#1c1916", "#6b6358"
_ON_IVORY, _ON_EBONY = "#0d6b5c", "#6cc9b5"  # the accent on keys, which a dark page leaves as they are
_OFF = {1: -4, 3: 4, 6: -5, 8: 0, 10: 5}  # how far a black key stands from the middle of the gap


@dataclass(frozen=True)
class Keys:
    """What is on a keyboard.

    Parameters
    ----------
    pitches : tuple of int
        MIDI numbers of the notes that sound.
    names : mapping of int to str
        What stands at the key of each pitch, by its MIDI number.
    root : int, optional
        Pitch class of the root; its lowest key is marked.
    others : tuple of int
        MIDI numbers of a second set.
    description : str
        The same in words.

    Raises
    ------
    InputError
        Where nothing sounds, or it goes beyond the MIDI range.
    """

    pitches: tuple[int, ...]
    names: Mapping[int, str]
    root: int | None = None
    others: tuple[int, ...] = ()
    description: str = ""

    def __post_init__(self) -> None:
        sounding = (*self.pitches, *self.others)
        if not sounding or min(sounding) < 0 or max(sounding) > 127:
            raise InputError("A keyboard needs notes from MIDI 0 to 127.", value=sounding)

    @property
    def stretch(self) -> tuple[int, int]:
        """First and last key drawn: from the C or F below the lowest note to the B or E above the highest."""
        low, high = min(*self.pitches, *self.others, 127), max(*self.pitches, *self.others, 0)
        return low - _below(low), high + _above(high)


def _below(pitch: int) -> int:
    pc = pitch % 12
    return pc if pc < 5 else pc - 5


def _above(pitch: int) -> int:
    pc = pitch % 12
    return 4 - pc if pc < 5 else 11 - pc


def draw_keyboard(keys: Keys) -> str:
    """Draw a keyboard as one SVG.

    Parameters
    ----------
    keys : Keys

    Returns
    -------
    str
        A stand-alone SVG element.

    Examples
    --------
    >>> drawing = draw_keyboard(Keys((60, 64, 67), {60: "C", 64: "E", 67: "G"}, description="C, E and G"))
    >>> drawing.count("<rect"), drawing.count("<circle"), drawing.count("<text")
    (12, 3, 3)
    """
    first, last = keys.stretch
    whites = [p for p in range(first, last + 1) if p % 12 in NATURAL_PC]
    left = {pitch: _SIDE + i * WHITE for i, pitch in enumerate(whites)}
    blacks = [p for p in range(first, last + 1) if p % 12 not in NATURAL_PC]
    edges = {pitch: left[pitch - 1] + WHITE - BLACK / 2 + _OFF[pitch % 12] for pitch in blacks}
    parts = [_key((x, _ABOVE), (WHITE, HIGH), _IVORY) for x in left.values()]
    parts += [_key((x, _ABOVE), (BLACK, SHORT), _EBONY) for x in edges.values()]
    parts += [part for pitch, x in left.items() for part in _marks(pitch, x + WHITE / 2, keys, black=False)]
    parts += [part for pitch, x in edges.items() for part in _marks(pitch, x + BLACK / 2, keys, black=True)]
    parts.append(path([(_SIDE - 1, _ABOVE), (_SIDE + WHITE * len(whites) + 1, _ABOVE)], Stroke(2.4)))
    size = 2 * _SIDE + WHITE * len(whites), _ABOVE + HIGH + _BELOW
    return figure("keyboard", size, keys.description, parts)


def _key(corner: Point, size: Point, fill: str) -> str:
    (x, y), (wide, high) = corner, size
    return (
        f'<rect x="{x:g}" y="{y:g}" width="{wide:g}" height="{high:g}" rx="3" fill="{fill}" stroke="{_EDGE}" '
        f'stroke-width="1.2"/>'
    )


def _marks(pitch: int, x: float, keys: Keys, *, black: bool) -> list[str]:
    """Disc, ring, name and root mark at one key."""
    sounds, second = pitch in keys.pitches, pitch in keys.others
    if not sounds and not second:
        return []
    ink, radius = (_IVORY, 7.0) if black else (_EBONY, 9.0)
    at = x, _ABOVE + (SHORT - 17 if black else HIGH - 26)
    drawn = [disc(at, radius if not second else radius - 2.5, ink)] if sounds else []
    if second:
        drawn.append(ring(at, radius + (1.5 if black else 3.5), Stroke(2.6, _ON_EBONY if black else _ON_IVORY)))
    name = keys.names.get(pitch, "")
    drawn.append(text((x, _ABOVE - 12 if black else _ABOVE + HIGH + 24), name, 17, bold=True))
    if keys.root is not None and pitch == min(p for p in keys.pitches or keys.others if p % 12 == keys.root):
        drawn.append(root_mark((x, at[1] - radius - (4 if not second else 8)), fill=ink))
    return drawn


def on_keys(pitches: Sequence[int], names: Sequence[str]) -> dict[int, str]:
    """Names by key: the name of each pitch, in the same order.

    >>> on_keys((60, 63), ("C", "E♭"))
    {60: 'C', 63: 'E♭'}
    """
    return dict(zip(pitches, names, strict=True))
