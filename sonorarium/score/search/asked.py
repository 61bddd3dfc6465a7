"""How a search was read: its options as plain values, and in one line of words.

An answer without its question is worth little: every result is printed with what was searched for, in which notes,
and what was allowed. The words name the defaults too, so that nothing has to be remembered.
"""

from __future__ import annotations

from fractions import Fraction

from sonorarium.pcs.pcset import PcSet
from sonorarium.pcs.setclass import SetClass
from sonorarium.pcs.spelling import root_names
from sonorarium.pcs.subject import subject
from sonorarium.score.search.chain import Chain
from sonorarium.score.search.query import ANY_EXTRA, Query


def options(query: Query | Chain) -> dict[str, object]:
    """Every option of a search as plain values for JSON, with keys that stay the same.

    >>> found = options(Query.of("4-19", kind="chord"))
    >>> found["under"], found["kinds"], found["struck"], found["most_bars"]
    ('TnI', ['chord'], False, None)
    """
    if isinstance(query, Chain):
        return {
            **options(query.links[0]),
            "sets": [link.name for link in query.links],
            "under": [_under(link) for link in query.links],
            "in_words": in_words(query),
            "within": [{"amount": float(length.amount), "unit": length.unit} for length in query.within],
        }
    limits = query.limits
    return {
        "sets": [query.name],
        "under": _under(query),
        "kinds": list(query.kinds),
        "parts": list(query.parts),
        "tolerance": float(query.tolerance),
        "extra": query.extra,
        "struck": query.struck,
        "near_semitones": query.near.semitones,
        "near_likeness": _number(query.near.likeness),
        "least_notes": query.least_notes,
        "least_quarters": float(query.least_quarters),
        "most_quarters": _number(limits.most_quarters),
        "least_bars": float(limits.least_bars),
        "most_bars": _number(limits.most_bars),
        "bars": limits.bars,
        "bass": limits.bass,
        "top": limits.top,
        "by": query.listing.by,
        "fold": query.listing.fold,
        "within": [],
        "in_words": in_words(query),
    }


def in_words(query: Query | Chain) -> str:
    """Say in one line how a search was read.

    >>> in_words(Query.of("5-26", kind="line"))
    'class 5-26 under transposition and inversion; as line; sounding notes; all parts; no foreign notes'
    """
    if isinstance(query, Chain):
        sets = [_what(query.links[0])]
        pairs = zip(query.links[1:], query.within, strict=True)
        sets += [f"then {_what(link)}, beginning at most {length} after the end of that" for link, length in pairs]
        return "; ".join([", ".join(sets), *_how(query.links[0])])
    return "; ".join([_what(query), *_how(query)])


def _how(query: Query) -> list[str]:
    """Everything but the set."""
    kinds = query.kinds
    said = ["as " + (" or ".join([", ".join(kinds[:-1]), kinds[-1]]) if len(kinds) > 1 else kinds[0])]
    if "chord" in kinds:
        said.append(_chords(query.extra))
    said.append("struck notes (lines as ever)" if query.struck else "sounding notes")
    parts = [part if isinstance(part, str) else f"number {part + 1}" for part in query.parts]
    said.append(f"parts: {', '.join(parts)}" if parts else "all parts")
    if kinds != ("chord",):
        share = f"up to {float(query.tolerance * 100):g} % of the time foreign in lines and textures"
        said.append(share if query.tolerance else "no foreign notes" + (" in lines and textures" * bool(query.extra)))
    return said + _limits(query) + _listing(query)


def _what(query: Query) -> str:
    if isinstance(query.subject, SetClass):
        under = "transposition" if query.subject.letter else "transposition and inversion"
        said = f"class {query.name} under {under}"
    else:
        said = f"the set {subject(query.subject).title} as it stands"
    if query.near.semitones:
        return f"{said}, and sets up to {_count(query.near.semitones, 'semitone')} away"
    if query.near.likeness is not None:
        return f"{said}, and classes of likeness {float(query.near.likeness):g} or more (1 − ASIM)"
    return said


def _chords(extra: int) -> str:
    if not extra:
        return "chords exact"
    if extra >= ANY_EXTRA:
        return "chords may hold any others besides"
    return f"chords may hold {_count(extra, 'other pitch class', 'other pitch classes')} besides"


def _limits(query: Query) -> list[str]:
    limits, said = query.limits, []
    if query.least_notes > 1:
        said.append(f"at least {query.least_notes} notes")
    least = ((query.least_quarters, "quarter"), (limits.least_bars, "bar"))
    most = ((limits.most_quarters, "quarter"), (limits.most_bars, "bar"))
    said += [f"at least {_count(amount, unit)} long" for amount, unit in least if amount]
    said += [f"at most {_count(amount, unit)} long" for amount, unit in most if amount is not None]
    if limits.bars:
        said.append(f"only what is printed as bar {limits.bars}")
    said += [
        f"{' or '.join(note.sign for note in root_names(pc))} {where}"
        for pc, where in ((limits.bass, "lowest"), (limits.top, "highest"))
        if pc is not None
    ]
    return said


def _listing(query: Query) -> list[str]:
    by = query.listing.by
    said = [f"listed by {by}"] if by != "salience" else []
    return said + (["repeats folded"] if query.listing.fold else [])


def _under(query: Query) -> str:
    if isinstance(query.subject, PcSet):
        return "literal"
    return "Tn" if query.subject.letter else "TnI"


def _count(number: int | Fraction, thing: str, things: str = "") -> str:
    return f"{number} {thing}" if number == 1 else f"{number} {things or f'{thing}s'}"


def _number(value: Fraction | None) -> float | None:
    return None if value is None else float(value)
