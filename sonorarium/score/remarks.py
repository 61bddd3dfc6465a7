"""What a reader found fault with, gathered while it reads and said once at the end.

A damaged file often has the same fault in forty bars. Forty equal sentences hide the one that matters, so faults
of one kind in one part become one `Remark` that names the first bar, the number of places, and the first few bars.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence

from sonorarium.score.score import Remark

SHOWN_BARS = 6
"""So many bars are named in a remark before it says "and others"."""


class Findings:
    """A growing list of faults, one entry for each kind, part and bar.

    Examples
    --------
    >>> findings = Findings()
    >>> findings.add("A tie has no end.", part=0, bars=[2, 5])
    >>> findings.remarks(["1", "2", "3", "4", "5", "6"])[0]
    Remark(what='A tie has no end. (2 places: bars 3, 6)', part=0, bar='3')
    """

    def __init__(self) -> None:
        self._places: dict[tuple[str, int], list[int]] = {}

    def add(self, what: str, *, part: int = -1, bars: Iterable[int] = (-1,)) -> None:
        """Note one kind of fault.

        Parameters
        ----------
        what : str
            One sentence.
        part : int
            Index of the part, -1 for the whole file.
        bars : iterable of int
            Index of the bar of each place, -1 for the whole file. Nothing is noted where this is empty.
        """
        places = list(bars)
        if places:
            self._places.setdefault((what, part), []).extend(places)

    def take(self, others: Findings, first_bar: int = 0) -> None:
        """Take over the faults of a piece whose first bar has an index of its own here."""
        for (what, part), places in others._places.items():
            self.add(what, part=part, bars=[place + first_bar if place >= 0 else place for place in places])

    def remarks(self, labels: Sequence[str]) -> tuple[Remark, ...]:
        """Return the faults as remarks, in the order in which each kind was first met.

        Parameters
        ----------
        labels : sequence of str
            Printed label of each bar.
        """
        return tuple(
            Remark(f"{what}{_where(places, labels)}", part, _label(places[0], labels))
            for (what, part), places in self._places.items()
        )


def _label(bar: int, labels: Sequence[str]) -> str:
    return labels[bar] if 0 <= bar < len(labels) else ""


def _where(places: list[int], labels: Sequence[str]) -> str:
    """Return the count and the bars of a fault that was met more than once, else nothing."""
    if len(places) < 2:
        return ""
    bars = list(dict.fromkeys(_label(bar, labels) for bar in places if bar >= 0))
    if not bars:
        return f" ({len(places)} places)"
    more = ", and others" if len(bars) > SHOWN_BARS else ""
    word = "bar" if len(bars) == 1 else "bars"
    return f" ({len(places)} places: {word} {', '.join(bars[:SHOWN_BARS])}{more})"
