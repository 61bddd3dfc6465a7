"""What a bar inherits from the bars before it: clef, key, metre, and lines that are still open.

In a file these are written once, where they change. An excerpt has to state them anew at its first bar.
"""

from __future__ import annotations

from collections.abc import Iterable
from copy import deepcopy
from typing import Any

from lxml import etree

SINGLE = ("divisions", "staves", "part-symbol", "instruments")
PER_STAFF = ("key", "time", "clef", "staff-details", "transpose")
ORDER = ("divisions", "key", "time", "staves", "part-symbol", "instruments", "clef", "staff-details", "transpose")
"""Order of the elements inside <attributes>: W3C, *MusicXML 4.0*, "attributes"."""

LINES = ("octave-shift", "wedge")
"""Lines over several bars that an excerpt must continue: what is inside means something else without them."""

MOVES = ("note", "backup", "forward")


class Carried:
    """The attributes and open lines of one part, as they stand at some bar."""

    def __init__(self) -> None:
        self._held: dict[str, dict[str | None, Any]] = {}
        self._open: dict[tuple[str, str], Any] = {}

    def take(self, measures: Iterable[Any]) -> None:
        """Go through whole bars."""
        for measure in measures:
            for attributes in measure.iterchildren("attributes"):
                self.take_attributes(attributes)
            for direction in measure.iterchildren("direction"):
                for line in direction.iter(*LINES):
                    self._take_line(line)

    def take_attributes(self, attributes: Any) -> None:
        """Take up one <attributes>; what it states for all staves replaces what was stated for one."""
        for stated in attributes:
            if stated.tag in SINGLE:
                self._held[stated.tag] = {None: stated}
            elif stated.tag in PER_STAFF:
                self._take_staff(stated)

    def _take_staff(self, stated: Any) -> None:
        staff = stated.get("number") or ("1" if stated.tag == "clef" else None)
        held = self._held.setdefault(stated.tag, {})
        if staff is None:
            held.clear()
        held[staff] = stated

    def _take_line(self, line: Any) -> None:
        key = (line.tag, line.get("number", "1"))
        if line.get("type") == "stop":
            self._open.pop(key, None)
        elif line.get("type") != "continue":
            self._open[key] = line

    def stated(self) -> Any:
        """A fresh <attributes> that says all of it."""
        attributes = etree.Element("attributes")
        for tag in ORDER:
            held = self._held.get(tag, {})
            for staff in sorted(held, key=lambda s: s or ""):
                copy = deepcopy(held[staff])
                copy.tail = None
                for cancel in copy.findall("cancel"):
                    copy.remove(cancel)
                attributes.append(copy)
        return attributes

    def open_lines(self) -> list[Any]:
        """Fresh <direction> elements that begin the open lines again."""
        return [line_direction(line, line.get("type")) for line in self._open.values()]

    def closing_lines(self) -> list[Any]:
        """Fresh <direction> elements that end the open lines."""
        return [line_direction(line, "stop") for line in self._open.values()]


def line_direction(line: Any, kind: str) -> Any:
    """A <direction> that begins or ends the same line, on the same staff."""
    direction = etree.Element("direction")
    copy = etree.SubElement(etree.SubElement(direction, "direction-type"), line.tag)
    copy.set("type", kind)
    for name in ("number", "size"):
        if line.get(name):
            copy.set(name, line.get(name))
    old = next(line.iterancestors("direction"), None)
    if old is not None and old.get("placement"):
        direction.set("placement", old.get("placement"))
    if old is not None and old.findtext("staff"):
        etree.SubElement(direction, "staff").text = old.findtext("staff")
    return direction


def absorb_opening(measure: Any, carried: Carried) -> None:
    """Take the attributes with which a bar begins out of it, into what is carried."""
    for child in list(measure):
        if child.tag in MOVES:
            return
        if child.tag == "attributes":
            carried.take_attributes(child)
            measure.remove(child)
