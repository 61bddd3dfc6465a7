"""Statements on kinship: modes and their brightness, evenness among sets of one size, and how near two sets lie.

Conventions
-----------
* Brightness is the sum of a mode's heights above its first note (`sonorarium.pcs.modes`).
* Evenness is measured by the sum of chords on the circle unless a statement names another measure of
  `sonorarium.pcs.evenness` ("by degrees", "by division"). A place that several classes share may be claimed for each.
* Distance is the least voice leading in semitones (`sonorarium.pcs.distance`): between two sets at a place as they
  stand, in all other cases the least over the forms of the classes. "N semitones from" is the distance; "one note
  apart" counts notes that are not shared.
"""

from __future__ import annotations

from sonorarium.lesson.checks.statements import Asked, Form
from sonorarium.lesson.checks.terms import Term, number
from sonorarium.lesson.checks.verdicts import Outcome
from sonorarium.pcs.distance import class_distance, distance
from sonorarium.pcs.evenness import evenness
from sonorarium.pcs.modes import RankedMode, shades
from sonorarium.pcs.pcset import PcSet
from sonorarium.pcs.spelling import read_note


def _distance(asked: Asked) -> Outcome | None:
    one, other = asked.one("a"), asked.one("b")
    found = apart(one, other)
    wanted = number(asked.said("n")) if asked.said("n") else 1
    if found is None:
        return None
    truth = f"{one.title} is {found} semitone{'s' if found != 1 else ''} from {other.title}"
    return Outcome(found == wanted, truth, sense=one.pcset.cardinality == other.pcset.cardinality)


def apart(one: Term, other: Term) -> int | None:
    """Semitones of the least voice leading; None where it depends on which half of a class is meant."""
    if not one.pcset or not other.pcset:
        return None
    if one.sort == "place" and other.sort == "place":
        found = {distance(one.pcset, other.pcset), distance(one.pcset, other.pcset, free=True)}
    else:
        found = {class_distance(one.set_class, other.set_class, free=free) for free in (False, True)}
    return found.pop() if len(found) == 1 else None


def _shared(asked: Asked) -> Outcome | None:
    one, other = asked.one("a"), asked.one("b")
    if one.sort != "place" or other.sort != "place":
        return None
    count = (one.pcset & other.pcset).cardinality
    truth = f"{one.title} and {other.title} share {count} notes"
    return Outcome(count == number(asked.said("n")), truth, sense=_alike(asked))


def _differ(asked: Asked) -> Outcome | None:
    one, other = asked.one("a"), asked.one("b")
    if one.sort != "place" or other.sort != "place" or one.pcset.cardinality != other.pcset.cardinality:
        return None
    count = (one.pcset - other.pcset).cardinality
    return Outcome(count == number(asked.said("n")), f"{one.title} and {other.title} differ in {count} notes")


def _moved(asked: Asked) -> Outcome | None:
    """One note of a set moves, and another set stands there."""
    before, after = asked.one("a"), asked.one("b")
    if before.sort != "place" or after.sort != "place":
        return None
    gone, come = read_note(asked.said("note")).pc, read_note(asked.said("name")).pc
    made = PcSet((set(before.pcset.pcs) - {gone}) | {come})
    there = gone in before.pcset
    truth = f"{before.title} then has the notes {' '.join(map(str, made.pcs))}" if there else f"{gone} is not in it"
    return Outcome(there and made == after.pcset, truth, sense=after.pcset.cardinality == before.pcset.cardinality)


# --- evenness -------------------------------------------------------------------------------------------------------


def _even(asked: Asked) -> Outcome | None:
    term = asked.one("a")
    if asked.said("m") and number(asked.said("m")) != term.pcset.cardinality:
        return Outcome(False, f"{term.title} has {term.pcset.cardinality} notes")
    found = next(e for e in evenness(term.pcset) if e.measure == (asked.said("measure").lower() or "chords"))
    if asked.said("classes") and number(asked.said("classes")) != found.classes:
        return Outcome(False, f"there are {found.classes} classes of {term.pcset.cardinality} notes")
    place = number(asked.said("nth")) if asked.said("nth") else 1
    if asked.said("least"):
        place = found.classes + 1 - place
    tied = f", tied with {found.tied - 1} more" if found.tied > 1 else ""
    truth = f"{term.title} is number {found.rank} of {found.classes} by evenness{tied}"
    return Outcome(found.rank <= place < found.rank + found.tied, truth, f"by {found.measure}")


def _more_even(asked: Asked) -> Outcome | None:
    one, other = asked.one("a"), asked.one("b")
    if one.pcset.cardinality != other.pcset.cardinality:
        return None
    measure = asked.said("measure").lower() or "chords"
    ranks = [next(e.rank for e in evenness(t.pcset) if e.measure == measure) for t in (one, other)]
    right = ranks[0] > ranks[1] if asked.said("less") else ranks[0] < ranks[1]
    truth = f"{one.title} is number {ranks[0]} and {other.title} number {ranks[1]} by evenness"
    return Outcome(right, truth, f"by {measure}")


# --- modes ----------------------------------------------------------------------------------------------------------


def _heights(term: Term) -> tuple[int, ...]:
    return tuple((pc - term.rising[0]) % 12 for pc in term.rising)


def _mode_on(scale: Term, at: int) -> tuple[int, ...]:
    """Heights of the mode that begins on the note at an index of the scale."""
    first = scale.rising[at]
    return tuple(sorted((pc - first) % 12 for pc in scale.rising))


def _names_of(heights: tuple[int, ...], scale: Term) -> str:
    modes = (mode for shade in shades(scale.pcset) for mode in shade.modes)
    return next(mode.name for mode in modes if mode.heights == heights)


def _mode_from(asked: Asked) -> Outcome | None:
    """The mode of a scale that begins on a note or a degree."""
    scale, mode = asked.one("a"), asked.one("b")
    if not scale.rooted or not mode.rooted or scale.sort == "class":
        return None
    note = asked.said("note")
    at = _index(scale, read_note(note).pc) if note else number(asked.said("nth")) - 1
    if at is None or not 0 <= at < len(scale.rising):
        return Outcome(False, f"{scale.title} has no such note", sense=_alike(asked))
    heights = _mode_on(scale, at)
    right = heights == _heights(mode) and (
        mode.sort != "place" or scale.sort != "place" or mode.rising[0] == scale.rising[at]
    )
    on = f"{scale.names[at].sign} " if scale.names else ""
    return Outcome(right, f"mode {at + 1} of {scale.title} is {on}{_names_of(heights, scale)}", sense=_alike(asked))


def _index(scale: Term, pc: int) -> int | None:
    return scale.rising.index(pc) if scale.sort == "place" and pc in scale.rising else None


def _alike(asked: Asked) -> bool:
    return asked.one("a").pcset.cardinality == asked.one("b").pcset.cardinality


def _is_mode(asked: Asked) -> Outcome | None:
    scale, mode = asked.one("a"), asked.one("b")
    if not scale.rooted or not mode.rooted:
        return None
    if scale.sort == "place" and mode.sort == "place":
        right = scale.pcset == mode.pcset
        truth = f"{mode.title} has the notes {' '.join(note.sign for note in mode.names)}"
    else:
        right = scale.pcset.label == mode.pcset.label
        truth = f"{mode.title} is {mode.pcset.label}, {scale.title} is {scale.pcset.label}"
    return Outcome(right, truth, sense=_alike(asked))


def _ranked(asked: Asked) -> list[tuple[RankedMode, ...]]:
    ordered = [shade.modes for shade in shades(asked.one("a").pcset)]
    return ordered if asked.said("end").lower() == "brightest" else ordered[::-1]


def _brightest(asked: Asked) -> Outcome | None:
    """The mode at a place in the order of brightness, by its first note or by its name."""
    scale, ordered = asked.one("a"), _ranked(asked)
    place = number(asked.said("nth")) if asked.said("nth") else 1
    if scale.sort == "class" or place > len(ordered) or any(len(modes) > 1 for modes in ordered[:place]):
        return None
    (mode,) = ordered[place - 1]
    names = {note.pc: note.sign for note in scale.names}
    on = [names[pc] for pc in mode.tonics if pc in names]
    truth = f"the mode asked for is {'/'.join(on)} {mode.name}".replace("  ", " ")
    if asked.said("note"):
        if scale.sort != "place":
            return None
        return Outcome(read_note(asked.said("note")).pc in mode.tonics, truth)
    called = asked.one("b")
    if not called.rooted or called.sort == "class":
        return None
    right = mode.heights == _heights(called)
    if right and called.sort == "place" and scale.sort == "place":
        right = called.rising[0] in mode.tonics
    return Outcome(right, truth, sense=_alike(asked))


def _brighter(asked: Asked) -> Outcome | None:
    one, other = (_mode_named(asked, slot) for slot in ("a", "b"))
    if one is None or other is None or len(one) != len(other) or sum(one) == sum(other):
        return None
    right = sum(one) > sum(other)
    if asked.said("end").lower() == "darker":
        right = not right
    truth = f"the brightness of {asked.one('a').title} is {sum(one)}, of {asked.one('b').title} {sum(other)}"
    return Outcome(right, truth, sense=_alike(asked))


def _mode_named(asked: Asked, slot: str) -> tuple[int, ...] | None:
    term = asked.one(slot)
    return _heights(term) if term.rooted and term.sort != "class" else None


def _mode_count(asked: Asked) -> Outcome | None:
    scale = asked.one("a")
    if scale.pcset.cardinality < 5:
        return None
    count = sum(len(shade.modes) for shade in shades(scale.pcset))
    return Outcome(count == number(asked.said("n")), f"{scale.title} has {count} different modes")


_MEASURE = r"(?:,? by (?:the (?:sum|measure) of )?(?:the )?(?P<measure>chords|degrees|division)(?: measure)?)?"
_AMONG = (
    r"(?: (?:of|among|in)(?: all)? the (?:(?P<classes>\d{1,2}) )?"
    r"(?:(?:set )?classes|sets|scales|collections) of <m> notes| of its size)?"
)
_ON = "(?:from|on|begun on|that begins on|beginning on|that starts on|starting on)"
_IS = "(?:is called|is named|is)"
_MODE = r"(?:the )?(?:mode|rotation)"

FORMS = (
    Form(
        "evenness",
        (
            rf"<a> is the (?:<nth>[- ])?most even{_AMONG}{_MEASURE}",
            rf"<a> is the (?:<nth>[- ])?(?P<least>least) even{_AMONG}{_MEASURE}",
            rf"<a> (?:ranks|is|comes) <nth> in evenness{_AMONG}{_MEASURE}",
            rf"the (?:<nth>[- ])?most even{_AMONG} is <a>{_MEASURE}",
        ),
        _even,
        (
            "D double harmonic is the sixth most even of the 38 classes of seven notes",
            "7-34 is the second most even of the sevens",
        ),
        turns=True,
    ),
    Form(
        "more even",
        (
            rf"<a> is (?:more|(?P<less>less)) even than <b>{_MEASURE}",
            rf"<a> is more evenly spread than <b>{_MEASURE}",
        ),
        _more_even,
        ("7-34 is more even than 7-32", "7-22 is less even than 7-32 by degrees"),
        turns=True,
    ),
    Form(
        "distance",
        (
            r"<a> (?:is|lies|stands)(?: just| only| exactly)? <n> semitones? (?:away )?from <b>",
            r"<a> (?:is|lies|stands)(?: just| only| exactly)? a (?:single )?semitone (?:away )?from <b>",
            r"<a> and <b> (?:are|lie|stand)(?: just| only| exactly)? (?:<n>|a(?: single)?) semitones? apart",
            r"the distance from <a> to <b> is <n> semitones?",
            r"the distance between <a> and <b> is <n> semitones?",
        ),
        _distance,
        ("D double harmonic is one semitone from G harmonic minor", "7-35 and 7-32 are one semitone apart"),
        turns=True,
    ),
    Form(
        "notes shared",
        (
            r"<a> and <b> (?:share|have) <n> (?:notes?|tones?|common notes?|common tones?)(?: in common)?",
            r"<a> shares <n> (?:notes?|tones?) with <b>",
            r"<a> has <n> (?:notes?|tones?) in common with <b>",
        ),
        _shared,
        ("D double harmonic and D harmonic major share six notes",),
    ),
    Form(
        "notes that differ",
        (
            r"<a> and <b> differ (?:in|by)(?: only| just)? <n> notes?",
            r"<a> differs from <b> (?:in|by)(?: only| just)? <n> notes?",
        ),
        _differ,
        ("D double harmonic and D harmonic major differ in one note",),
    ),
    Form(
        "a note moves",
        (
            r"(?:moving|changing|turning) <note> (?:to|into) (?P<name>(?-i:[A-G](?:bb|b|##|#|♭|♯|x)?)) "
            r"(?:turns|changes|makes) <a> (?:into|to) <b>",
            r"<a> (?:becomes|turns into) <b> (?:when|where|as soon as) <note> (?:moves to|goes to|becomes) "
            r"(?P<name>(?-i:[A-G](?:bb|b|##|#|♭|♯|x)?))",
            r"(?:when|where) <note> (?:moves to|goes to|becomes) (?P<name>(?-i:[A-G](?:bb|b|##|#|♭|♯|x)?)),? "
            r"<a> (?:becomes|turns into) <b>",
        ),
        _moved,
        ("moving Eb to E turns D double harmonic into D harmonic major",),
    ),
    Form(
        "brightest mode",
        (
            r"the (?:<nth>[- ])?(?P<end>brightest|darkest) mode of <a> (?:starts|begins) on <note>",
            r"the (?:<nth>[- ])?(?P<end>brightest|darkest) mode of <a> is the one (?:from|on) <note>",
            rf"the (?:<nth>[- ])?(?P<end>brightest|darkest) mode of <a> {_IS} <b>",
            r"<b> is the (?:<nth>[- ])?(?P<end>brightest|darkest) mode of <a>",
        ),
        _brightest,
        ("the brightest mode of D double harmonic starts on Eb", "the darkest mode of the diatonic is locrian"),
        turns=True,
    ),
    Form(
        "brighter",
        (r"<a> is (?P<end>brighter|darker) than <b>",),
        _brighter,
        ("lydian is brighter than mixolydian",),
        turns=True,
    ),
    Form(
        "mode from a note",
        (
            rf"{_MODE} of <a> {_ON} <note> {_IS} <b>",
            rf"the <nth> mode of <a> {_IS} <b>",
            r"<b> is the <nth> mode of <a>",
            rf"{_MODE} on the <nth> (?:degree|note) of <a> {_IS} <b>",
            rf"<a> {_ON} <note> {_IS} <b>",
            rf"<b> is {_MODE} of <a> {_ON} <note>",
        ),
        _mode_from,
        (
            "the mode of D double harmonic from G is called G harmonic minor #4",
            "phrygian dominant is the fifth mode of the harmonic minor",
        ),
        turns=True,
    ),
    Form(
        "mode of",
        (r"<b> is a (?:mode|rotation) of <a>", r"<b> and <a> are modes of (?:one|the same) scale"),
        _is_mode,
        ("D dorian is a mode of C major", "phrygian dominant is a mode of the harmonic minor"),
        turns=True,
    ),
    Form(
        "number of modes",
        (r"<a> has <n> (?:different |distinct )?modes",),
        _mode_count,
        ("the octatonic has two modes", "7-22 has seven different modes"),
    ),
)
"""The forms of this module; the more special first."""
