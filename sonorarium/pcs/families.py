"""The families at hand, and how a person writes one.

A family is written in TOML: a name, a sentence that says the rule, the rule itself in the keys of
`sonorarium.pcs.familyrule`, and, where wanted, short names for its kinds, in the order in which they are shown::

    name = "my bright sevens"
    rule = "Seven notes, no three in a row, with an augmented triad."
    notes = [7]
    without = ["3-1"]
    holding = ["3-12"]

    [names]
    "acoustic" = "overtone"

``families.toml`` holds the families at hand in the same form, one table each. A kind that has no short name takes the
first name of the catalogue of scales among its rotations, and its root there; one that has none goes by its label.
"""

from __future__ import annotations

import tomllib
from collections.abc import Mapping
from dataclasses import fields
from difflib import get_close_matches
from functools import cache
from pathlib import Path
from typing import Any

from sonorarium.errors import InputError
from sonorarium.pcs.family import Family, FamilyKind
from sonorarium.pcs.familyrule import FamilyRule, shapes
from sonorarium.pcs.pcset import PcSet
from sonorarium.pcs.scales import kind_of, scale_kinds

_RULE_KEYS = {f.name: str(f.type) for f in fields(FamilyRule)}
_TEXT_KEYS = ("name", "rule", "source")


@cache
def families() -> dict[str, Family]:
    """The families at hand, by their keys: ``spaced`` is the default.

    >>> {key: len(family.kinds) for key, family in families().items()}
    {'spaced': 7, 'limited': 7, 'symmetrical': 15, 'heptatonic': 6, 'pentatonic': 3, 'double-harmonic': 7}
    """
    text = (Path(__file__).parent / "families.toml").read_text(encoding="utf-8")
    return {key: _build(table, key) for key, table in tomllib.loads(text).items()}


def default_family() -> Family:
    """The scales without consecutive semitones.

    >>> len(default_family().members)
    57
    """
    return families()["spaced"]


def find_family(name: str) -> Family:
    """Find a family at hand by its key or its name; raises `InputError`, with the nearest, where there is none.

    >>> find_family("pentatonic").name
    'five notes without semitones'
    """
    known = families()
    for key, family in known.items():
        if name.strip().lower() in (key, family.name):
            return family
    near = get_close_matches(name.lower(), [*known, *(f.name for f in known.values())], n=2, cutoff=0.4)
    hint = f"The nearest are: {'; '.join(near)}." if near else f"There are: {', '.join(known)}."
    raise InputError(f"There is no family {name!r}.", value=name, suggestion=hint)


def read_family(text: str) -> Family:
    """Read a family that a person has written.

    Parameters
    ----------
    text : str
        TOML with the keys above.

    Raises
    ------
    InputError
        Where the text is not TOML, a key is unknown or of the wrong kind, or no set meets the rule.

    Examples
    --------
    >>> mine = read_family('name = "mine"' + chr(10) + 'scales = ["dorian", "1-3-1-2-1-3-1", "7-20A"]')
    >>> [(kind.name, kind.label) for kind in mine.kinds]
    [('dorian', '7-35'), ('double harmonic', '7-22'), ('double harmonic b5', '7-20A')]
    """
    try:
        table = tomllib.loads(text)
    except tomllib.TOMLDecodeError as error:
        raise InputError(f"The family is not written in TOML: {error}.", value=text) from error
    return _build(table, "family")


def _build(table: Mapping[str, Any], where: str) -> Family:
    unknown = set(table) - set(_RULE_KEYS) - {*_TEXT_KEYS, "names"}
    if unknown:
        keys = ", ".join((*_TEXT_KEYS, "names", *_RULE_KEYS))
        raise InputError(
            f"A family has no key {min(unknown)!r}.", value=min(unknown), suggestion=f"Its keys are: {keys}."
        )
    name, rule, source = (_checked(table, key, "str", "") for key in _TEXT_KEYS)
    if not name:
        raise InputError("A family needs a name.", value=where, suggestion='Write, say: name = "my scales".')
    given = {key: _checked(table, key, kind, None) for key, kind in _RULE_KEYS.items() if key in table}
    conditions = FamilyRule(**given)
    kinds = _kinds(conditions, _checked(table, "names", "dict", {}))
    return Family(name, rule, kinds, source)


def _checked(table: Mapping[str, Any], key: str, kind: str, default: Any) -> Any:
    """A value of the table, if it is of the kind that the key asks for."""
    value = table.get(key, default)
    right = {
        "str": isinstance(value, str),
        "bool": isinstance(value, bool),
        "tuple[str, ...]": isinstance(value, list) and all(isinstance(v, str) for v in value),
        "tuple[int, ...]": isinstance(value, list) and all(type(v) is int and 1 <= v <= 12 for v in value),
        "dict": isinstance(value, dict) and all(isinstance(v, str) and v for v in value.values()),
    }
    wanted = {
        "str": "a text",
        "bool": "true or false",
        "tuple[str, ...]": "a list of texts",
        "tuple[int, ...]": "a list of numbers from 1 to 12",
        "dict": "a table of texts",
    }
    if not right[kind]:
        raise InputError(f"The key {key!r} of a family takes {wanted[kind]}.", value=value)
    return tuple(value) if isinstance(value, list) else value


def _kinds(rule: FamilyRule, names: Mapping[str, str]) -> tuple[FamilyKind, ...]:
    """The kinds that a rule finds: those with short names first, then those listed, then the rest."""
    found = [PcSet.of_mask(mask) for mask in rule.masks()]
    if not found:
        raise InputError("No set meets the rule of the family.", value=rule)
    kinds: dict[str, FamilyKind] = {}
    for text, short in names.items():
        for pcset in shapes(text):
            kinds.setdefault(pcset.label, FamilyKind(short, pcset.pcs, _catalogue_name(pcset)))
    for pcset in (shape for text in rule.scales for shape in shapes(text)):
        kinds.setdefault(pcset.label, _as_listed(pcset))
    for pcset in found:
        kinds.setdefault(pcset.label, _by_catalogue(pcset))
    labels = {pcset.label for pcset in found}
    strange = [kind.name for label, kind in kinds.items() if label not in labels]
    if strange and not rule.scales:
        raise InputError(f"{strange[0]} is named, but does not meet the rule of the family.", value=strange[0])
    return tuple(kind for label, kind in kinds.items() if label in labels)


def _catalogue_name(pcset: PcSet) -> str:
    found = kind_of(pcset)
    return found.name if found else ""


def _as_listed(pcset: PcSet) -> FamilyKind:
    """A kind from the root on which it was listed."""
    name = _catalogue_name(pcset)
    return FamilyKind(name, pcset.pcs, name) if name else _by_catalogue(pcset)


def _by_catalogue(pcset: PcSet) -> FamilyKind:
    """A kind under the first name of the catalogue among its rotations, or under its label."""
    for kind in scale_kinds():
        if kind.pcset.label == pcset.label:
            return FamilyKind(kind.name, kind.pcs, kind.name)
    return FamilyKind(pcset.label, pcset.tn_class.representative.pcs)
