"""Statements on what a set is: its class, prime form, vector, partner, complement, mirror and number of forms.

Conventions
-----------
* Prime forms are Rahn's (1980) unless the statement says Forte (1973).
* "Symmetrical" may mean either symmetry; a set that only transposition maps to itself is then not understood. "Its
  own mirror" means inversion, "around D" needs a set at a place, and names one end of an axis or both.
* Of a class without a letter, "forms" are counted under transposition and inversion; of anything else the word is
  understood only where both ways of counting agree.
* "The complement" of notes at a place is the notes left over; of a class, a class.
"""

from __future__ import annotations

import re
from fractions import Fraction

from sonorarium.lesson.checks.statements import Asked, Form
from sonorarium.lesson.checks.terms import Term, number, prime_digits
from sonorarium.lesson.checks.verdicts import Outcome
from sonorarium.pcs import symmetry
from sonorarium.pcs.pcset import PcSet
from sonorarium.pcs.spelling import read_note, spell_in

_DIGIT = "0123456789te"


def belongs(term: Term, named: Term) -> bool | None:
    """Whether a set belongs to a class; None where a class without a letter is asked about one of its halves."""
    if named.given is None:
        return None
    fits = {option in named.given for option in term.options}
    return fits.pop() if len(fits) == 1 else None


def _class(asked: Asked) -> Outcome | None:
    outcomes = []
    for term in asked.terms["as"]:
        fits = belongs(term, asked.one("b"))
        if fits is None:
            return None
        outcomes.append((fits, f"{term.title} is {term.set_class}"))
    alike = all(term.pcset.cardinality == asked.one("b").pcset.cardinality for term in asked.terms["as"])
    return Outcome(all(ok for ok, _ in outcomes), "; ".join(truth for _, truth in outcomes), sense=alike)


def _same_class(asked: Asked) -> Outcome:
    one, other = asked.one("a"), asked.one("b")
    truth = f"{one.title} is {one.set_class}, {other.title} is {other.set_class}"
    return Outcome(one.set_class.tni == other.set_class.tni, truth, "under transposition and inversion")


def _prime(asked: Asked) -> Outcome | None:
    digits = prime_digits(asked.said("digits"))
    if len(digits) < 2:
        return None
    forte = "forte" in asked.said("by").lower()
    pcset = asked.one("a").pcset
    right = pcset.prime_form_forte if forte else pcset.prime_form
    other = pcset.prime_form if forte else pcset.prime_form_forte
    truth = f"the prime form of {asked.one('a').title} is {shown_prime(right)}"
    if digits == other != right:
        truth += f"; {shown_prime(other)} is {'Rahn' if forte else 'Forte'}'s"
    return Outcome(digits == right, truth, "Forte" if forte else "Rahn", len(digits) == len(right))


def shown_prime(pcs: tuple[int, ...]) -> str:
    """A prime form as it is printed: ``[0148]``."""
    return f"[{''.join(_DIGIT[pc] for pc in pcs)}]"


def _vector(asked: Asked) -> Outcome | None:
    digits = asked.said("digits").strip(" []()<>{}")
    words = [w for w in re.split(r"[\s,]+", digits) if w] if re.search(r"[\s,]", digits) else list(digits)
    if len(words) != 6 or not all(w.isdecimal() for w in words):
        return None
    right = asked.one("a").pcset.interval_vector
    truth = f"the vector of {asked.one('a').title} is {''.join(map(str, right)) if max(right) < 10 else right}"
    given = tuple(map(int, words))
    return Outcome(given == right, truth, sense=sum(given) == sum(right))


def _same_vector(asked: Asked) -> Outcome:
    vectors = [(term.title, term.pcset.interval_vector) for term in (asked.one("a"), asked.one("b"))]
    truth = ", ".join(f"{title} has {' '.join(map(str, vector))}" for title, vector in vectors)
    return Outcome(vectors[0][1] == vectors[1][1], truth)


def _intervals(asked: Asked) -> Outcome | None:
    at = number(asked.said("m")) if asked.said("m") else 6  # a tritone where no class is named
    if not 1 <= at <= 6:
        return None
    found = asked.one("a").pcset.interval_vector[at - 1]
    wanted = number(asked.said("n"))
    one, several = ("tritone", "tritones") if at == 6 else (f"interval of class {at}", f"intervals of class {at}")
    counted = f"{found} {one if found == 1 else several}"
    return Outcome(found == wanted, f"{asked.one('a').title} has {counted}")


# --- partner, complement, mirror ------------------------------------------------------------------------------------


def _partners(asked: Asked) -> Outcome:
    one, other = asked.one("a"), asked.one("b")
    partner = one.pcset.partner
    truth = f"the partner of {one.title} is {partner}" if partner else f"{one.title} has no partner"
    return Outcome(partner is not None and partner == other.set_class.tni, truth)


def _has_partner(asked: Asked) -> Outcome:
    partner = asked.one("a").pcset.partner
    truth = f"the partner of {asked.one('a').title} is {partner}" if partner else f"{asked.one('a').title} has none"
    return Outcome((partner is not None) != bool(asked.said("no")), truth)


def _complements(asked: Asked) -> Outcome | None:
    one, other = asked.one("a"), asked.one("b")
    if one.sort == "place" and other.sort == "place":
        left = ~one.pcset
        alike = left.cardinality == other.pcset.cardinality
        return Outcome(
            left == other.pcset, f"the complement of {one.title} is {_pcs(left)}, {left.label}", sense=alike
        )
    if other.given and not other.given.letter:
        return Outcome(one.pcset.abstract_complement == other.given, _said_complement(one))
    fits = {(~option).label == half.label for option in one.options for half in other.options}
    return Outcome(fits.pop(), _said_complement(one)) if len(fits) == 1 else None


def _said_complement(term: Term) -> str:
    found = term.set_class.complement if term.given else (~term.pcset).label
    return f"the complement of {term.title} is {found}"


def _own_complement(asked: Asked) -> Outcome:
    found = asked.one("a").pcset.abstract_complement
    return Outcome(found == asked.one("a").set_class.tni, _said_complement(asked.one("a")))


def _pcs(pcset: PcSet) -> str:
    return " ".join(map(str, pcset.pcs))


def _mirror_of(asked: Asked) -> Outcome | None:
    one, other = asked.one("a"), asked.one("b")
    if any(term.given and not term.given.letter for term in (one, other)):
        return None
    label = other.pcset.inverted().label
    return Outcome(one.pcset.label == label, f"the mirror of {other.title} is {label}")


def _own_mirror(asked: Asked) -> Outcome | None:
    outcomes = []
    for term in asked.terms["as"]:
        own = term.pcset.is_symmetrical
        if (asked.said("vague") or asked.said("no")) and not own and term.pcset.distinct_transpositions < 12:
            return None  # symmetrical in one sense, not in the other
        outcomes.append((own, f"{term.title} is {'its own mirror' if own else 'not its own mirror'}"))
    denied = bool(asked.said("no"))
    return Outcome(all(own != denied for own, _ in outcomes), "; ".join(truth for _, truth in outcomes))


def _around(asked: Asked) -> Outcome | None:
    term = asked.one("a")
    if term.sort != "place":
        return None
    ends = {end % 12 for axis in symmetry.axes(term.pcset) for end in axis}
    notes = [read_note(word).pc for word in re.findall(r"[A-G][b#♭♯x]*", asked.said("notes"))]
    points = {Fraction(pc) for pc in notes}
    if asked.said("between"):
        if len(notes) != 2 or (notes[1] - notes[0]) % 12 != 1:
            return None
        points = {Fraction(2 * notes[0] + 1, 2)}
    names = {note.pc: note.sign for note in spell_in(term.names, range(12))}
    shown = ", ".join(_point(end, names) for end in sorted(ends))
    truth = f"{term.title} is its own mirror around {shown}" if ends else f"{term.title} is not its own mirror"
    return Outcome(points <= ends, truth)


def _point(end: Fraction, names: dict[int, str]) -> str:
    """One end of an axis: a note, or the middle between two."""
    below = names[int(end)]
    return below if end.denominator == 1 else f"between {below} and {names[(int(end) + 1) % 12]}"


def _limited(asked: Asked) -> Outcome:
    count = asked.one("a").pcset.distinct_transpositions
    return Outcome((count < 12) != bool(asked.said("no")), f"{asked.one('a').title} has {count} transpositions")


def _transpositions(asked: Asked) -> Outcome:
    count = asked.one("a").pcset.distinct_transpositions
    truth = f"{asked.one('a').title} has {count} transpositions"
    return Outcome(count == number(asked.said("n")), truth)


def _forms(asked: Asked) -> Outcome | None:
    term = asked.one("a")
    if term.given and not term.given.letter:
        count = term.given.distinct_forms
    elif term.pcset.distinct_forms == term.pcset.distinct_transpositions:
        count = term.pcset.distinct_forms
    else:
        return None
    return Outcome(count == number(asked.said("n")), f"{term.title} has {count} forms")


_BY = (
    r"(?P<by>,? (?:by|in|after|according to) (?:Forte|Rahn)(?:['’]s)?(?: (?:rule|convention|order|list|packing))?"
    r"| \((?:Forte|Rahn)\))?"
)
_VECTOR = "(?:interval[- ]class |interval[- ]|ic[- ]?|ic-)?vector"
_AROUND = "(?:around|about)"

FORMS = (
    Form(
        "prime form",
        (
            rf"the prime form of <a> is <digits>{_BY}",
            rf"<a> has (?:the |for its )?prime form <digits>{_BY}",
            rf"<a>['’]s prime form is <digits>{_BY}",
            rf"<digits> is the prime form of <a>{_BY}",
            r"by (?P<by>Forte|Rahn)['’]s (?:rule|convention) the prime form of <a> is <digits>",
            r"(?P<by>Forte|Rahn)['’]s prime form of <a> is <digits>",
            r"<a> (?:is|means) (?:the )?(?:set )?(?P<digits>[\[(]0[\s,0-9te]+[\])])",
        ),
        _prime,
        ("the prime form of 5-20 is [01568]", "5-20 has the prime form [01378] by Forte's rule", "4-19 is [0148]"),
        turns=True,
    ),
    Form(
        "vector",
        (
            rf"the {_VECTOR} of <a> is <digits>",
            rf"<a> has (?:the |an? )?{_VECTOR} <digits>",
            rf"<a>['’]s {_VECTOR} is <digits>",
            rf"<digits> is the {_VECTOR} of <a>",
        ),
        _vector,
        ("the interval vector of 4-19 is 101310", "5-22 has the vector <202321>"),
        turns=True,
    ),
    Form(
        "same vector",
        (
            rf"<a> and <b> (?:have|share) (?:the same|one|an?) (?:{_VECTOR}|interval content)",
            rf"<a> has the same (?:{_VECTOR}|interval content) as <b>",
        ),
        _same_vector,
        ("4-Z15 and 4-Z29 have the same interval vector",),
        turns=True,
    ),
    Form(
        "intervals",
        (
            r"<a> (?:has|holds|contains) <n> tritones?",
            r"<a> (?:has|holds|contains) <n> (?:pairs of notes at|intervals? of) (?:interval )?class <m>",
            r"there (?:is|are) <n> tritones? in <a>",
        ),
        _intervals,
        ("7-22 has two tritones", "C lydian holds one tritone", "3-11 has no intervals of class 1"),
    ),
    Form(
        "partner",
        (
            r"<a> (?:and|with) <b> are (?:Z[- ])?partners(?: of each other)?",
            r"<a> and <b> are Z[- ]related",
            r"<a> is Z[- ]related to <b>",
            r"<a> is the (?:Z[- ])?partner of <b>",
            r"the (?:Z[- ])?partner of <a> is <b>",
            r"<a> has the (?:Z[- ])?partner <b>",
            r"<a> has <b> (?:as|for) (?:a|its) (?:Z[- ])?partner",
            r"<a>['’]s (?:Z[- ])?partner is <b>",
        ),
        _partners,
        ("6-Z10 and 6-Z39 are partners", "the partner of 5-Z17 is 5-Z37", "4-19 is not the partner of 4-20"),
        turns=True,
    ),
    Form(
        "has a partner",
        (r"<a> has (?P<no>no )(?:Z[- ])?partner", r"<a> has a (?:Z[- ])?partner"),
        _has_partner,
        ("7-22 has no partner", "6-Z10 has a partner"),
    ),
    Form(
        "complement",
        (
            r"the complement of <a> is <b>",
            r"<a> is the complement of <b>",
            r"<a> and <b> are (?:complements(?: of each other)?|complementary)",
            r"<a> has the complement <b>",
            r"<a>['’]s complement is <b>",
        ),
        _complements,
        ("the complement of 7-22 is 5-22", "the complement of C major is Gb major pentatonic"),
        turns=True,
    ),
    Form(
        "own complement",
        (r"<a> is its own complement", r"<a> is self-complementary"),
        _own_complement,
        ("6-20 is its own complement",),
        turns=True,
    ),
    Form(
        "mirror of another",
        (
            r"<a> is the (?:mirror|inversion|mirror image) of <b>",
            r"<a> and <b> are (?:mirrors|inversions|mirror images)(?: of each other)?",
            r"the (?:mirror|inversion|mirror image) of <a> is <b>",
            r"<a> and <b> mirror each other",
        ),
        _mirror_of,
        ("the harmonic minor and the harmonic major are mirror images of each other", "4-19A is the mirror of 4-19B"),
        turns=True,
    ),
    Form(
        "mirror around",
        (
            rf"<a> is (?:its own mirror(?: image)?|(?:inversionally )?symmetric(?:al)?),? {_AROUND} <notes>",
            rf"<a> is (?:its own mirror|(?:inversionally )?symmetric(?:al)?),? "
            rf"{_AROUND} (?P<notes>(?-i:[A-G][b#♭♯]?) and {_AROUND} (?-i:[A-G][b#♭♯]?))",
            rf"<a> is (?:its own mirror|(?:inversionally )?symmetric(?:al)?),? {_AROUND} the (?:point|axis) "
            r"(?P<between>between )<notes>",
        ),
        _around,
        ("D double harmonic is its own mirror, around D and around Ab", "D dorian is symmetrical around D"),
        turns=True,
    ),
    Form(
        "own mirror",
        (
            r"<as> (?:is (?:an? )?|are )(?:its own (?:mirror|mirror image|inversion)|their own mirrors?|"
            r"inversionally symmetric(?:al)?)(?: (?:scale|class|set))?",
            r"<as> (?:is|are) (?P<no>asymmetrical|inversionally asymmetrical)",
            r"<as> (?:is|are) (?P<vague>symmetric(?:al)?)",
            r"<as> (?:has|have) (?P<no>no) mirror symmetry",
        ),
        _own_mirror,
        (
            "5-22 is its own mirror",
            "7-35 and 7-22 are inversionally symmetrical",
            "the harmonic minor is not symmetrical",
        ),
        turns=True,
    ),
    Form(
        "limited transposition",
        (
            r"<a> is a (?:mode|set|scale|class) of limited transposition",
            r"<a> is transpositionally symmetric(?:al)?",
            r"<a> is (?P<no>no) (?:mode|set|scale|class) of limited transposition",
        ),
        _limited,
        ("the octatonic is a mode of limited transposition", "7-22 is no set of limited transposition"),
        turns=True,
    ),
    Form(
        "number of transpositions",
        (
            r"<a> has (?:only |just |exactly )?<n> (?:distinct |different )?transpositions?",
            r"there are (?:only |just |exactly )?<n> (?:distinct |different )?transpositions? of <a>",
        ),
        _transpositions,
        ("the whole-tone scale has only two transpositions", "7-22 has twelve transpositions"),
    ),
    Form(
        "number of forms",
        (
            r"<a> has (?:only |just |exactly )?<n> (?:distinct |different )?forms?",
            r"there are (?:only |just |exactly )?<n> (?:distinct |different )?forms? of <a>",
        ),
        _forms,
        ("4-19 has 24 forms", "6-20 has four forms"),
    ),
    Form(
        "same class",
        (
            r"<a> and <b> (?:belong to|are (?:of|in)|are forms of) (?:the same|one) (?:set )?class",
            r"<a> belongs to the same (?:set )?class as <b>",
        ),
        _same_class,
        ("the harmonic minor and the harmonic major belong to the same class",),
        turns=True,
    ),
    Form(
        "class",
        (
            r"<as> (?:belongs?|belong) to (?:the )?(?:set )?(?:class )?<b>",
            r"<as> (?:is|are) (?:an? |the )?(?:form|forms|instance|instances|member|members|transposition) of <b>",
            r"the (?:set )?(?:class|label|Forte number) of <as> is <b>",
            r"<as> (?:has|have) the (?:label|class|Forte number) <b>",
            r"<as> (?:forms?|makes?|make up|makes up|spells?|shows?|gives?) (?:an? |the )?<b>",
            r"<b> is the (?:set )?(?:class|label) of <as>",
            r"<as> (?:is|are) <b>",
        ),
        _class,
        (
            "the double harmonic is 7-22",
            "C E Ab B is 4-19B",
            "Cmaj7#5 belongs to the class 4-19",
            "the notes C, E, Ab and B form 4-19",
        ),
        turns=True,
    ),
)
"""The forms of this module; those that take fewer things for granted come first."""
