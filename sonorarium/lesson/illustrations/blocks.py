"""What a directive becomes: a few plain kinds of block that every form of the page can show.

The directives make blocks; the HTML page and the printed page each know how to set them. Nothing else passes between
the two, so a new directive needs no new code in either.
"""

from __future__ import annotations

from dataclasses import dataclass, field

from sonorarium.lesson.illustrations.examples import Example
from sonorarium.render.sound import Clip


@dataclass(frozen=True)
class Figure:
    """Something drawn, with what is said and heard of it.

    Parameters
    ----------
    svg : str
        The drawing; "" where there is only sound.
    description : str
        The drawing in words: notes by voice, set, bars. It is the alternative text.
    caption : str
        The author's words, plain text.
    source : str
        Where an excerpt comes from: composer, title, bars, rights.
    clip : Clip or None
        Its sound.
    width_mm : float
        Width on paper; the page never sets it wider than the text.
    example : Sheet or Bars, optional
        The music shown, for notation software.
    above : str
        Words above the drawing: a question that it belongs to.
    label : str
        ``Figure 3`` or ``Sound 1``: what every form of the lesson calls it; "" where it has no number.
    """

    svg: str
    description: str
    caption: str = ""
    source: str = ""
    clip: Clip | None = None
    width_mm: float = 160.0
    example: Example | None = None
    above: str = ""
    label: str = ""

    @property
    def words(self) -> str:
        """What is said above and below the drawing, together."""
        return f"{self.above} {self.caption}".strip()


@dataclass(frozen=True)
class Cell:
    """One cell of a table: text, and a drawing before it where there is one.

    Parameters
    ----------
    text : str
    svg : str
        A small drawing, or "".
    strong : bool
        Whether the text is set in bold.
    """

    text: str
    svg: str = ""
    strong: bool = False


@dataclass(frozen=True)
class Table:
    """A table with a heading for each column.

    Parameters
    ----------
    title : str
        What the table shows.
    columns : tuple of str
    rows : tuple of tuple of Cell
        Each as long as ``columns``.
    note : str
        A sentence under the table, or "".
    """

    title: str
    columns: tuple[str, ...]
    rows: tuple[tuple[Cell, ...], ...]
    note: str = ""


@dataclass(frozen=True)
class Facts:
    """A short list of terms and what they are for this set.

    Parameters
    ----------
    title : str
    items : tuple of (str, str)
        Term and value.
    """

    title: str
    items: tuple[tuple[str, str], ...]


Block = Figure | Table | Facts


@dataclass(frozen=True)
class Made:
    """The blocks that one directive made, and what should be said about how.

    Parameters
    ----------
    blocks : tuple of Block
    remarks : tuple of str
        What was cut or guessed, for the author.
    """

    blocks: tuple[Block, ...]
    remarks: tuple[str, ...] = field(default=())
