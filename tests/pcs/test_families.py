"""The families at hand and the families that a person writes."""

from __future__ import annotations

import pytest

from sonorarium.errors import InputError
from sonorarium.pcs.families import default_family, families, find_family, read_family


def test_the_families_at_hand() -> None:
    labels = {key: [kind.label for kind in family.kinds] for key, family in families().items()}
    # Messiaen, Technique de mon langage musical (1944), ch. XVI, the seven modes in his order; labels from memory.
    assert labels["limited"] == ["6-35", "8-28", "9-12", "8-9", "6-7", "8-25", "10-6"]
    assert sorted(labels["heptatonic"]) == ["7-31A", "7-31B", "7-32A", "7-32B", "7-34", "7-35"]
    assert labels["pentatonic"] == ["5-33", "5-34", "5-35"]
    assert labels["double-harmonic"][:4] == ["7-22", "7-32A", "7-32B", "7-30A"]
    assert len(labels["symmetrical"]) == 15
    assert all(family.rule and family.source for family in families().values())


def test_messiaens_transpositions() -> None:
    # 2, 3, 4, 6, 6, 6 and 6 transpositions (Messiaen 1944, ch. XVI; from memory).
    assert [kind.transpositions for kind in find_family("limited").kinds] == [2, 3, 4, 6, 6, 6, 6]


def test_a_family_is_found_by_key_or_name() -> None:
    assert find_family("spaced") is default_family()
    assert find_family("Modes of Limited Transposition".lower()).name == "modes of limited transposition"
    with pytest.raises(InputError, match="nearest are: pentatonic"):
        find_family("pentatonics")


def test_a_family_by_rule() -> None:
    found = read_family(
        """
        name = "my bright sevens"
        rule = "Seven notes, no three in a row, with an augmented triad."
        notes = [7]
        without = ["3-1"]
        holding = ["3-12"]
        [names]
        "acoustic" = "overtone"
        """
    )
    assert found.name == "my bright sevens" and found.rule.startswith("Seven")
    assert [(kind.name, kind.label) for kind in found.kinds] == [
        ("overtone", "7-34"),
        ("harmonic minor", "7-32A"),
        ("harmonic major", "7-32B"),
    ]
    assert found.member("Bb overtone").label == "7-34"


def test_a_family_by_list_keeps_its_order_and_its_roots() -> None:
    found = read_family('name = "modes"\nscales = ["phrygian", "0 1 2 3 4", "1-3-1-2-1-3-1"]')
    assert [(kind.name, kind.pcs) for kind in found.kinds] == [
        ("phrygian", (0, 1, 3, 5, 7, 8, 10)),
        ("5-1", (0, 1, 2, 3, 4)),
        ("double harmonic", (0, 1, 4, 5, 7, 8, 11)),
    ]


@pytest.mark.parametrize(
    ("text", "said"),
    [
        ("name = ", "not written in TOML"),
        ('name = "x"\nscale = ["dorian"]', "no key 'scale'"),
        ('scales = ["dorian"]', "needs a name"),
        ('name = "x"', "needs a rule"),
        ('name = 5\nscales = ["dorian"]', "'name' of a family takes a text"),
        ('name = "x"\nscales = "dorian"', "'scales' of a family takes a list of texts"),
        ('name = "x"\nnotes = [13]', "'notes' of a family takes a list of numbers from 1 to 12"),
        ('name = "x"\nmaximal = 1', "'maximal' of a family takes true or false"),
        ('name = "x"\nmaximal = true\nnames = []', "'names' of a family takes a table of texts"),
        ('name = "x"\nscales = ["doriano"]', "no scale called 'doriano'"),
        ('name = "x"\nnotes = [3]\nwithout = ["2-1","2-2","2-3","2-4","2-5"]', "No set meets the rule"),
        (
            'name = "x"\nnotes = [5]\nwithout = ["2-1"]\n[names]\n"major" = "m"',
            "m is named, but does not meet",
        ),
    ],
)
def test_what_is_wrong_with_a_family_is_said(text: str, said: str) -> None:
    with pytest.raises(InputError, match=said):
        read_family(text)
