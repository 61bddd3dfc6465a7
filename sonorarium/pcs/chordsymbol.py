"""Chord symbols: one grammar that reads them and prints them.

::

    symbol   = root quality [ "/" bass ]
    quality  = kind { suspension | alteration | addition | omission }
    kind     = m mi min − | maj ma M Δ ^ j | dim ° o | ø | aug + | dom     (several may meet: m maj, dim maj, + maj)
               with a number: 5 6 6/9 69 7 9 11 13, also 2 and 4 (added notes); 7M
    alteration = (b | # | + | −) number           b2 is b9, #4 is #11, b6 is b13
    addition   = add degree | ( number ) | / number
    omission   = no number | omit number

Parentheses and commas may stand around any alteration, addition or omission. Letter case matters for ``M`` (major)
and ``m`` (minor) alone: ``Maj7``, ``MAJ7`` and ``maj7`` are one, and so are ``eb7`` and ``Eb7``. A sign that touches
the root belongs to the root: ``Cb5`` is C flat with its fifth; C with a lowered fifth is ``C(b5)`` or ``C b5``. A
dash or plus right after the root is a quality (``C-7``, ``C+7``) unless a 5 follows (``C-5`` lowers the fifth). Words
are read too: ``C dominant seventh sharp nine``.

What a quality means is said in `sonorarium.pcs.chordquality`. A bass that is not in the chord is one note more in the
set.

Source of the vocabulary: common practice.
"""

from __future__ import annotations

import re
from dataclasses import dataclass, field, replace
from functools import cache

from sonorarium.errors import InputError
from sonorarium.pcs.chordquality import Quality, Style, bases, degree_height, degree_number
from sonorarium.pcs.pcset import SetFacts
from sonorarium.pcs.spelling import NOTE_PATTERN, Spelled, above, read_note, readable, root_names

_ASCII = str.maketrans(
    {"♭": "b", "♯": "#", "−": "-", "–": "-", "△": "Δ", "∆": "Δ", "º": "°", "˚": "°", "Ø": "ø", "⌀": "ø"}
)


@dataclass(frozen=True, repr=False)
class Chord(SetFacts):
    """A chord by its symbol.

    Parameters
    ----------
    root : Spelled
    quality : Quality
    bass : Spelled, optional
        Its lowest note where that is not the root; it belongs to the set.

    Examples
    --------
    >>> c = chord("Ebmaj7#5")
    >>> c.symbol, c.pcs, [n.text for n in c.spelling], chord("E/C").pcs
    ('Ebmaj7#5', (2, 3, 7, 11), ['Eb', 'G', 'B', 'D'], (0, 4, 8, 11))
    """

    root: Spelled
    quality: Quality
    bass: Spelled | None = None

    def __post_init__(self) -> None:
        if self.bass is not None:  # one note has one name: the bass takes the chord's name for it
            own = {note.pc: note for note, _ in self.members}
            object.__setattr__(self, "bass", own.get(self.bass.pc, self.bass))

    def __repr__(self) -> str:
        return f"chord({self.symbol!r})"

    def __str__(self) -> str:
        return self.symbol

    @property
    def mask(self) -> int:
        """The set as a 12-bit integer, the bass included."""
        bits = sum(1 << (self.root.pc + height) % 12 for height in self.quality.heights)
        return bits | (1 << self.bass.pc if self.bass else 0)

    @property
    def symbol(self) -> str:
        """Its symbol in the house style ``maj7``, to be typed: ``F#m7b5/E``."""
        return self.symbol_in("maj7")

    def symbol_in(self, style: Style) -> str:
        """Its symbol in a house style: ``maj7``, ``M7`` or ``Δ``."""
        return self.root.text + self.quality.text(style) + (f"/{self.bass.text}" if self.bass else "")

    def sign(self, style: Style = "maj7") -> str:
        """Its symbol with the signs of notation, to be read.

        >>> chord("F#m7b5/E").sign()
        'F♯m7♭5/E'
        """
        quality = re.sub(r"b(?=[b\d])", "♭", re.sub(r"#(?=\d)", "♯", self.quality.text(style)))
        return self.root.sign + quality + (f"/{self.bass.sign}" if self.bass else "")

    @property
    def members(self) -> tuple[tuple[Spelled, str], ...]:
        """Each note of the chord, the bass aside, with its degree: ``(E, "3")``."""
        return tuple(
            (above(self.root, (degree_number(d) - 1) % 7, degree_height(d)), d) for d in self.quality.degrees
        )

    @property
    def spelling(self) -> tuple[Spelled, ...]:
        """Its notes by name, from the root up through the degrees; a foreign bass comes first."""
        names = tuple(note for note, _ in self.members)
        return (self.bass, *names) if self.bass and self.bass not in names else names

    @property
    def readable_spelling(self) -> tuple[Spelled, ...]:
        """Its notes without double accidentals."""
        return readable(self.spelling)

    @property
    def rising(self) -> tuple[int, ...]:
        """Pitch classes from the bass, or else the root, upward."""
        return self.pcset.rising_from((self.bass or self.root).pc)

    @property
    def words(self) -> str:
        """Say it in words: ``C dominant seventh, sharp 9``."""
        return f"{self.root.text} {self.quality.words}" + (f", over {self.bass.text}" if self.bass else "")


def chord(text: str) -> Chord:
    """Read a chord symbol.

    Parameters
    ----------
    text : str
        A symbol by the grammar above, or words.

    Returns
    -------
    Chord

    Raises
    ------
    InputError
        Where it is none; the sentence says which part was not understood.

    Examples
    --------
    >>> [chord(t).symbol for t in ("C-Δ7", "Bb-7", "C+7", "c^", "C6/9", "Cø", "C half-diminished seventh")]
    ['CmMaj7', 'Bbm7', 'C7#5', 'Cmaj7', 'C6/9', 'Cm7b5', 'Cm7b5']
    """
    plain = text.strip().translate(_ASCII)
    found = re.match(NOTE_PATTERN, plain)
    if not found:
        raise InputError(f"{text!r} does not begin with a note.", value=text, suggestion="Try Cmaj7.")
    rest, bass = plain[found.end() :], None
    slash = re.fullmatch(rf"(.*)\s*/\s*({NOTE_PATTERN})\s*", rest)
    if slash:
        rest, bass = slash[1], read_note(slash[2])
    root = read_note(found[0])
    made = Chord(root, read_quality(rest, within=text.strip()), bass)
    return replace(made, bass=None) if bass and bass.pc == root.pc and made.quality.degrees[:1] == ("1",) else made


_NUMBER_WORDS = "second fourth fifth sixth seventh ninth eleventh thirteenth", "2 4 5 6 7 9 11 13"
_WORDS = dict(zip(*(part.split() for part in _NUMBER_WORDS), strict=True)) | {
    "four": "4",
    "five": "5",
    "six": "6",
    "seven": "7",
    "nine": "9",
    "eleven": "11",
    "thirteen": "13",
    "sharp": "#",
    "flat": "b",
    "major": "maj",
    "minor": "min",
    "diminished": "dim",
    "halfdiminished": "ø",
    "augmented": "aug",
    "suspended": "sus",
    "altered": "alt",
    "dominant": "dom",
    "added": "add",
    "without": "no",
    "triad": "",
    "chord": "",
    "and": "",
}


def _from_words(text: str) -> str:
    """Turn words into the signs of the grammar; leave signs as they are."""
    joined = re.sub(r"half[\s-]*dim(?:inished)?\b", "halfdiminished", text, flags=re.IGNORECASE)
    return re.sub(r"[A-Za-z]{3,}", lambda m: _WORDS.get(m[0].lower(), m[0]), joined)


@dataclass
class _Draft:
    """What has been read so far of one symbol."""

    kinds: list[str] = field(default_factory=list)
    number: str = ""
    sus: set[str] = field(default_factory=set)
    altered: list[str] = field(default_factory=list)
    added: list[str] = field(default_factory=list)
    omitted: list[str] = field(default_factory=list)


# Order matters: the first that fits is taken, so longer spellings stand before shorter ones.
_TOKENS = re.compile(
    r"""
      (?P<half>ø|(?i:half-?dim))
    | (?P<add>(?i:add)(?P<add_degree>[b\#]?(?:1[13]|[2-9])))
    | (?P<omit>(?i:no|omit)(?P<omit_number>1[13]|[135679]|(?i:root))(?:st|rd|th)?)
    | (?P<sus>(?i:sus)(?P<sus_number>24|42|2|4)?)
    | (?P<alt>(?i:alt))
    | (?P<dim>(?i:dim)|°|[oO](?!mit))
    | (?P<aug>(?i:aug))
    | (?P<dom>(?i:dom))
    | (?P<major>(?i:maj|ma(?!dd))|M(?![iI])|j)
    | (?P<triangle>Δ|\^)
    | (?P<minor>(?i:min|mi)|m)
    | (?P<altered>[b\#+-](?:1[13]|[24569]))
    | (?P<plus>\+)
    | (?P<slash>/(?P<slash_degree>[b\#]?(?:1[13]|[2-9])))
    | (?P<number>6/9|69|13|11|9|7|6|5|4|2)
    """,
    re.VERBOSE,
)


def read_quality(text: str, *, within: str = "") -> Quality:
    """Read a chord symbol without its root.

    Raises `InputError`, which says which part of ``within`` was not understood.

    >>> read_quality("7(b9,#11)").degrees, read_quality("m(maj7)").text("Δ")
    (('1', '3', '5', 'b7', 'b9', '#11'), 'mΔ7')
    """
    plain = _bracketed_additions(_from_words(text.translate(_ASCII)))
    draft, at = _Draft(), 0
    if re.match(r"[+-](?!5)", plain):
        draft.kinds.append("aug" if plain[0] == "+" else "minor")
        at = 1
    while at < len(plain):
        found = _TOKENS.match(plain, at)
        if not found or not _take(found, draft):
            raise InputError(
                f"{plain[at:]!r} in {within or text!r} was not understood as part of a chord symbol.",
                value=within or text,
            )
        at = found.end()
    return _settle(draft, within or text)


def _bracketed_additions(text: str) -> str:
    """Take parentheses, commas and spaces away; a bare number in parentheses is an addition."""

    def opened(found: re.Match[str]) -> str:
        items = re.split(r"[,\s]+", found[1].strip())
        return "".join(f"add{item}" if re.fullmatch(r"\d+", item) else item for item in items)

    return re.sub(r"[,\s]+", "", re.sub(r"\(([^()]*)\)", opened, text))


def _take(found: re.Match[str], draft: _Draft) -> bool:
    """Note one token in the draft; False where it cannot stand here."""
    part = found.groupdict()
    if part["altered"]:
        sign, number = found[0][0], found[0][1:]
        tension = {"2": "9", "4": "11", "6": "13"}.get(number, number)
        draft.altered.append({"+": "#", "-": "b"}.get(sign, sign) + tension)
    elif part["add"] or part["slash"]:
        draft.added.append(part["add_degree"] or part["slash_degree"])
    elif part["omit"]:
        draft.omitted.append("1" if part["omit_number"].lower() == "root" else part["omit_number"])
    elif part["sus"]:
        draft.sus |= set(part["sus_number"] or "4")
    elif part["number"]:
        if draft.number:
            return False
        draft.number = found[0].replace("69", "6/9")
    else:
        draft.kinds.append("aug" if part["plus"] else str(found.lastgroup))
    return True


def _settle(draft: _Draft, text: str) -> Quality:
    """Make the quality of a draft."""
    kinds = set(draft.kinds) - {"dom"}
    if kinds & {"triangle"} and not draft.number:
        draft.number = "7"
    if "half" in kinds:
        kinds = kinds - {"half"} | {"minor"}
        draft.altered.append("b5")
        draft.number = draft.number or "7"
    if "aug" in kinds:
        kinds.remove("aug")
        draft.altered.append("#5")
    if draft.number in ("2", "4"):
        draft.added.append(draft.number)
        draft.number = ""
    base = _base(kinds, draft, text)
    if draft.sus and base.startswith("m") and not base.startswith("maj"):
        base = base.removeprefix("m")  # a suspended chord has no third to be minor
    sus = "".join(f"sus{n}" for n in sorted(draft.sus))
    try:
        return Quality(base, sus, tuple(draft.altered), tuple(draft.added), tuple(draft.omitted)).canonical
    except InputError as error:
        raise InputError(f"{text!r} is no chord symbol: {error.sentence}", value=text) from error


def _base(kinds: set[str], draft: _Draft, text: str) -> str:
    """Find the base of the table that kinds and number name."""
    minor, major, dim = "minor" in kinds, bool(kinds & {"major", "triangle"}), "dim" in kinds
    number = draft.number
    if "alt" in kinds and kinds <= {"alt"} and number in ("", "7"):
        return "7alt"
    if dim and number in ("9", "11") and not major:
        draft.added += ["9", "11"][: 1 + (number == "11")]
        number = "7"
    if number in ("6", "6/9") or not (number or minor or dim):
        major = False  # Cmaj is the triad, Cmaj6 is C6
    base = ("dim" if dim else "m" if minor else "") + (("Maj" if minor or dim else "maj") if major else "") + number
    if "alt" in kinds or base not in bases():
        raise InputError(f"{base or text!r} in {text!r} is no chord quality.", value=text)
    return base


@cache
def simplest_root(pc: int, quality: Quality) -> Spelled:
    """Name a root so that the chord on it has the fewest accidentals.

    >>> simplest_root(1, Quality("m7")).text, simplest_root(1, Quality("maj7")).text
    ('C#', 'Db')
    """

    def strain(root: Spelled) -> tuple[int, int]:
        names = Chord(root, quality).spelling
        return sum(abs(n.alter) + 3 * (abs(n.alter) > 1) for n in names), abs(root.fifths)

    return min(root_names(pc), key=strain)
