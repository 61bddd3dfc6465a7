"""The tree of an MEI document: parsed safely, read past editorial mark-up, without namespaces.

Conventions
-----------
* Where a document gives variant readings (``<app>``) the ``<lem>`` is read, else the first ``<rdg>``; of a
  ``<choice>`` the first child. Other editorial mark-up (``<supplied>``, ``<sic>``, ``<add>`` …) is looked through.
* Entity declarations are refused, nothing is fetched.

Source: Music Encoding Initiative, *Guidelines, Version 5*, chapters "Critical Apparatus" and "Editorial Markup".
"""

from __future__ import annotations

from collections.abc import Iterator
from fractions import Fraction
from typing import TYPE_CHECKING, Any

from lxml import etree

from sonorarium.errors import DamagedError

if TYPE_CHECKING:
    from lxml.etree import _Element

XML_ID = "{http://www.w3.org/XML/1998/namespace}id"
ORDINAL = "ordinal"
"""Attribute that `number_notes` gives each ``<note>``: its number in the document, from 0."""

_LOOKED_THROUGH = frozenset(
    "abbr add corr damage del expan lem orig rdg reg restore sic subst supplied unclear".split()  # noqa: SIM905
)
_WHOLE_VALUES = {"breve": 8, "long": 16, "maxima": 32}
MOST_DOTS = 8


def parsed(mei: bytes) -> _Element:
    """Return the root of an MEI document, with plain tags.

    Raises
    ------
    DamagedError
        If it is no well-formed XML, or declares entities.
    """
    parser = etree.XMLParser(
        resolve_entities=False,
        no_network=True,
        load_dtd=False,
        huge_tree=False,
        remove_blank_text=True,
        remove_comments=True,
        remove_pis=True,
        collect_ids=False,
    )
    try:
        root = etree.fromstring(mei, parser)
    except etree.XMLSyntaxError as error:
        raise DamagedError(f"The XML is damaged at line {error.lineno}.", value=error.msg) from error
    dtd: Any = root.getroottree().docinfo.internalDTD
    if dtd is not None and dtd.entities():
        raise DamagedError("The document declares XML entities, which no score needs and which are not safe.")
    for element in root.iter(etree.Element):
        element.tag = etree.QName(element).localname
    return root


def number_notes(root: _Element) -> int:
    """Give each ``<note>`` its number, in the attribute `ORDINAL`; return how many there are."""
    count = 0
    for count, note in enumerate(root.iter("note"), start=1):
        note.set(ORDINAL, str(count - 1))
    return count


def read_children(parent: _Element) -> Iterator[_Element]:
    """Return the children that are read, past editorial mark-up.

    Examples
    --------
    >>> layer = etree.fromstring("<layer><app><rdg><note/></rdg><rdg><beam/></rdg></app><sic><rest/></sic></layer>")
    >>> [child.tag for child in read_children(layer)]
    ['note', 'rest']
    """
    for child in parent:
        if child.tag == "app":
            chosen = child.find("lem") if child.find("lem") is not None else child.find("rdg")
            yield from read_children(chosen) if chosen is not None else ()
        elif child.tag == "choice":
            yield from read_children(child[0]) if len(child) else ()
        elif child.tag in _LOOKED_THROUGH:
            yield from read_children(child)
        else:
            yield child


def written_length(element: _Element) -> Fraction | None:
    """Return the length that an element states, in quarters; None where it states none that is known.

    Examples
    --------
    >>> [written_length(etree.fromstring(f"<note {a}/>")) for a in ('dur="4" dots="1"', 'dur="breve"', 'dur="x"')]
    [Fraction(3, 2), Fraction(8, 1), None]
    """
    value = element.get("dur", "")
    if value in _WHOLE_VALUES:
        plain = Fraction(_WHOLE_VALUES[value])
    elif value.isascii() and value.isdecimal() and 0 < int(value) <= 4096:
        plain = Fraction(4, int(value))
    else:
        return None
    dots = element.get("dots", "")
    count = int(dots) if dots.isascii() and dots.isdecimal() else len(element.findall("dot"))
    return plain * (2 - Fraction(1, 2 ** min(count, MOST_DOTS)))
