"""MEI trees: safe, plain, and read past editorial mark-up."""

from __future__ import annotations

import pytest

from sonorarium.errors import DamagedError
from sonorarium.score.formats.meitree import ORDINAL, number_notes, parsed, read_children, written_length


def test_namespaces_go_and_notes_are_numbered() -> None:
    root = parsed(b'<m:mei xmlns:m="x"><m:chord><m:note/><!-- a --><m:note/></m:chord></m:mei>')
    assert number_notes(root) == 2
    assert [(child.tag, child.get(ORDINAL)) for child in root[0]] == [("note", "0"), ("note", "1")]


def test_entities_are_refused_and_nothing_is_fetched() -> None:
    with pytest.raises(DamagedError, match="declares XML entities"):
        parsed(b'<!DOCTYPE mei [<!ENTITY x SYSTEM "file:///etc/hostname">]><mei>&x;</mei>')
    with pytest.raises(DamagedError, match="damaged at line 2"):
        parsed(b"<mei>\n<a></mei>")


def test_readings_choices_and_wrappers() -> None:
    layer = parsed(
        b"<layer><app><rdg><note/></rdg><lem><supplied><rest/></supplied></lem></app><app/>"
        b"<choice><orig><beam/></orig><reg><chord/></reg></choice><choice/><del><space/></del></layer>"
    )
    assert [child.tag for child in read_children(layer)] == ["rest", "beam", "space"]


@pytest.mark.parametrize(
    ("attributes", "length"),
    [
        ('dur="1"', "4"),
        ('dur="64"', "1/16"),
        ('dur="long"', "16"),
        ('dur="maxima"', "32"),
        ('dur="2" dots="2"', "7/2"),
        ('dur="0"', "None"),
        ('dur="semibrevis"', "None"),
        ("", "None"),
    ],
)
def test_lengths(attributes: str, length: str) -> None:
    assert str(written_length(parsed(f"<note {attributes}/>".encode()))) == length


def test_dots_as_elements() -> None:
    assert str(written_length(parsed(b'<note dur="4"><dot/><dot/></note>'))) == "7/4"
