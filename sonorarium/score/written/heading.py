"""What a MusicXML document says about itself: title, composer, rights, encoder, names of the parts.

Conventions
-----------
* **Title**: the work's title, and after a colon that of the movement where both are given and differ; otherwise the
  credit (text printed on the page) that says it is the title; otherwise the credit in the largest print.
* **Composer**: every creator of type composer; otherwise creators without a type; otherwise the credit of that
  type.
* **Encoder**: the person or body that made the file, then the software, as far as stated.
* Line breaks and runs of blanks count as one blank.

Sources: W3C, *MusicXML 4.0*, elements "work", "movement-title", "identification", "credit", "score-part".
"""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from lxml.etree import _Element


@dataclass(frozen=True)
class Heading:
    """Who and what.

    Parameters
    ----------
    title, composer, rights, encoder : str
        "" where the file says nothing.
    date : str
        Date of composition as the file writes it; MusicXML has no place for it.
    """

    title: str
    composer: str
    rights: str
    encoder: str
    date: str = ""


def read_heading(root: _Element) -> Heading:
    """Return what a document says about itself.

    Parameters
    ----------
    root : lxml element
        ``<score-partwise>`` or ``<score-timewise>``.

    Returns
    -------
    Heading
    """
    creators = root.findall("identification/creator")
    composers = [one for one in creators if (one.get("type") or "").strip().lower() == "composer"]
    nameless = [one for one in creators if not one.get("type")]
    return Heading(
        title=_title(root) or _credit(root, "title") or _largest_credit(root),
        composer=_joined(composers) or _joined(nameless) or _credit(root, "composer"),
        rights=_joined(root.findall("identification/rights")) or _credit(root, "rights"),
        encoder=_joined(
            [*root.findall("identification/encoding/encoder"), *root.findall("identification/encoding/software")]
        ),
    )


def part_names(root: _Element) -> dict[str, str]:
    """Return the printed name of each part by its identifier."""
    return {part.get("id", ""): _clean(part.findtext("part-name")) for part in root.findall("part-list/score-part")}


def _title(root: _Element) -> str:
    work = _clean(root.findtext("work/work-title"))
    movement = _clean(root.findtext("movement-title"))
    return ": ".join(dict.fromkeys(text for text in (work, movement) if text))


def _credit(root: _Element, kind: str) -> str:
    """Return the words of the first credit of a kind."""
    for credit in root.findall("credit"):
        kinds = [_clean(one.text) for one in credit.findall("credit-type")]
        if kind in kinds:
            return " ".join(filter(None, (_clean(one.text) for one in credit.findall("credit-words"))))
    return ""


def _largest_credit(root: _Element) -> str:
    """Return the words in the largest print, where credits say nothing but their size."""
    words = [
        (float(size), _clean(one.text))
        for one in root.findall("credit/credit-words")
        if (size := one.get("font-size") or "").replace(".", "", 1).isdecimal() and _clean(one.text)
    ]
    return max(words, key=lambda pair: pair[0])[1] if words else ""


def _joined(elements: Iterable[_Element]) -> str:
    texts = (_clean(element.text) for element in elements)
    return ", ".join(dict.fromkeys(text for text in texts if text))


def _clean(text: str | None) -> str:
    return " ".join((text or "").split())
