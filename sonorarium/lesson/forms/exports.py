"""What a lesson gives away piece by piece: figures, clips, examples for notation software, captions.

Each figure and each sound has a number that depends on nothing but their order in the lesson: ``Figure 3`` is the
third drawing, ``Sound 1`` the first sound without one, in every form and whatever else is built. Exercises of a drill
keep the drill's own numbers; their files are counted through.

Conventions
-----------
* **Drawings**: SVG with all text as outlines, so that they look alike everywhere, and PNG of the width asked for, on
  a transparent ground or on the theme's paper.
* **Sounds**: the very Opus file of the page, or that file decoded to WAV (48 kHz, 16 bits) for programs without Opus.
* **Examples**: MusicXML 4.0 (`sonorarium.lesson.illustrations.examples`).
* **Captions**: plain text, UTF-8: number, caption, source, sound, the drawing in words, and the files' name.
"""

from __future__ import annotations

import io
import re
import textwrap
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, replace

from lxml import etree

from sonorarium.errors import InputError
from sonorarium.lesson.cache import cache
from sonorarium.lesson.forms.theme import Palette, dressed
from sonorarium.lesson.illustrations.blocks import Block, Figure, Made
from sonorarium.lesson.illustrations.examples import example_musicxml
from sonorarium.lesson.markdown import Directive
from sonorarium.render.sound import Clip
from sonorarium.render.typeface import Face, covers, text_outline, text_width
from sonorarium.render.typesetting import paint

GROUNDS = ("transparent", "paper")
SOUNDS = ("opus", "wav")
WIDEST_PX = 3840
"""Greatest width of a picture."""

MARGIN = 0.04
"""Margin of a drawing on paper, as a share of its longer side; on a transparent ground there is none."""

SVG = "http://www.w3.org/2000/svg"
_OWN_NUMBERS = ("drill",)
"""Directives whose figures have numbers of their own."""

_OF_TEXT = ("x", "y", "font-size", "font-weight", "font-style", "font-family", "text-anchor")


@dataclass(frozen=True)
class Piece:
    """One figure or sound of a lesson, with the name of its files.

    Parameters
    ----------
    name : str
        ``figure-03``, ``sound-01`` or ``exercise-02``.
    figure : Figure
    line : int
        Line of the lesson on which its directive begins.
    """

    name: str
    figure: Figure
    line: int


def labelled(directives: Sequence[Directive], made: Mapping[int, Made]) -> dict[int, Made]:
    """Number the figures and the sounds of a lesson.

    Parameters
    ----------
    directives : sequence of Directive
        In the order of the lesson.
    made : mapping of int to Made
        What each became, by its line.
    """
    counts = {"Figure": 0, "Sound": 0}

    def numbered(block: Block) -> Block:
        if not isinstance(block, Figure):
            return block
        kind = "Figure" if block.svg else "Sound"
        counts[kind] += 1
        return replace(block, label=f"{kind} {counts[kind]}")

    return {
        directive.line: made[directive.line]
        if directive.name in _OWN_NUMBERS
        else replace(made[directive.line], blocks=tuple(numbered(block) for block in made[directive.line].blocks))
        for directive in directives
    }


def pieces(made: Mapping[int, Made]) -> Iterator[Piece]:
    """Every figure and sound in order, named after its number."""
    exercises = 0
    for line, one in made.items():
        for block in one.blocks:
            if not isinstance(block, Figure):
                continue
            kind, _, number = block.label.partition(" ")
            if not block.label:
                exercises += 1
                kind, number = "exercise", str(exercises)
            yield Piece(f"{kind.lower()}-{int(number):02}", block, line)


def figure_files(
    made: Mapping[int, Made], palette: Palette, *, width_px: int = 1920, ground: str = "transparent"
) -> dict[str, bytes]:
    """Every drawing as SVG and PNG.

    Parameters
    ----------
    made : mapping of int to Made
    palette : Palette
        Colours of ink, accent and paper.
    width_px : int
        Width of the PNG, 1 to 3840 pixels.
    ground : str
        ``transparent`` or ``paper``.

    Returns
    -------
    dict of str to bytes
        By file name.

    Raises
    ------
    InputError
        Where width or ground cannot be.
    """
    if not 1 <= width_px <= WIDEST_PX:
        raise InputError(
            f"A picture cannot be {width_px} pixels wide here.", value=width_px, suggestion=f"1 to {WIDEST_PX}."
        )
    if ground not in GROUNDS:
        raise InputError(f"There is no ground {ground!r}.", value=ground, suggestion=f"Use {' or '.join(GROUNDS)}.")
    paper = palette.paper if ground == "paper" else None
    files: dict[str, bytes] = {}
    for piece in pieces(made):
        if piece.figure.svg:
            drawing = standing_alone(dressed(piece.figure.svg, palette), paper)
            files[f"{piece.name}.svg"] = drawing.encode()
            files[f"{piece.name}.png"] = _picture(drawing, width_px, paper)
    return files


def _picture(drawing: str, width_px: int, paper: str | None) -> bytes:
    return cache().kept("picture", f"{width_px} {paper} {drawing}", lambda: paint(drawing, width_px, paper=paper))


def standing_alone(svg: str, paper: str | None = None) -> str:
    """A drawing as a file of its own: text as outlines, and a ground where one is wanted.

    Text in a face that we have no outlines of, or with signs that our font lacks, stays text.

    >>> alone = standing_alone('<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 9 9"><text y="9">I</text></svg>')
    >>> "<text" in alone, "<path" in alone
    (False, True)
    """
    root = etree.fromstring(svg.encode(), etree.XMLParser(huge_tree=True, no_network=True, resolve_entities=False))
    for text in list(root.iter(f"{{{SVG}}}text")):
        _outline(text)
    if paper is not None:
        _lay_on(root, paper)
    return etree.tostring(root, encoding="unicode")


def _lay_on(root: etree._Element, paper: str) -> None:
    """Put a drawing on a ground of some colour, with a margin around it."""
    left, top, width, height = (float(one) for one in root.get("viewBox", "0 0 100 100").split())
    rim = MARGIN * max(width, height)
    box = [f"{one:g}" for one in (left - rim, top - rim, width + 2 * rim, height + 2 * rim)]
    root.set("viewBox", " ".join(box))
    for name, one in (("width", width), ("height", height)):
        found = re.fullmatch(r"([\d.]+)([a-z]*)", root.get(name, ""))
        if found:
            root.set(name, f"{float(found[1]) * (one + 2 * rim) / one:.2f}{found[2]}")
    sides = dict(zip(("x", "y", "width", "height"), box, strict=True))
    root.insert(0, etree.Element(f"{{{SVG}}}rect", sides | {"fill": paper}))


def _outline(text: etree._Element) -> None:
    """Put a path in the place of a text."""
    words = " ".join((text.text or "").split())
    face = Face(_told(text, "font-weight") in ("600", "700", "bold"), _told(text, "font-style") == "italic")
    family = _told(text, "font-family") or ""
    if len(text) or "Sans" in family or not covers(words, face):
        return
    scale = float((_told(text, "font-size") or "16").removesuffix("px")) / 1000
    shift = {"middle": 0.5, "end": 1.0}.get(_told(text, "text-anchor") or "start", 0.0)
    x, y = (float(text.get(name, "0")) for name in ("x", "y"))
    path = etree.Element(f"{{{SVG}}}path", {str(k): str(v) for k, v in text.attrib.items() if k not in _OF_TEXT})
    place = f"translate({x - shift * text_width(words, face) * scale:.2f} {y:g}) scale({scale:g})"
    path.set("transform", f"{text.get('transform', '')} {place}".strip())
    path.set("d", text_outline(words, face))
    if text.get("stroke-width"):
        path.set("stroke-width", f"{float(text.get('stroke-width', '1')) / scale:g}")
    path.tail = text.tail
    parent = text.getparent()
    if parent is not None:
        parent.replace(text, path)


def _told(element: etree._Element, name: str) -> str | None:
    """An attribute of an element, or of the nearest around it."""
    around = [element, *element.iterancestors()]
    return next((one.get(name) for one in around if one.get(name) is not None), None)


def clip_files(made: Mapping[int, Made], *, sound: str = "opus") -> dict[str, bytes]:
    """Every sound as a file, by file name.

    Parameters
    ----------
    made : mapping of int to Made
    sound : str
        ``opus`` or ``wav``.

    Raises
    ------
    InputError
        Where there is no such kind of sound.
    """
    if sound not in SOUNDS:
        raise InputError(f"There is no sound {sound!r}.", value=sound, suggestion=f"Use {' or '.join(SOUNDS)}.")
    heard = [(piece.name, piece.figure.clip) for piece in pieces(made) if piece.figure.clip]
    return {f"{name}.{sound}": clip.data if sound == clip.format else _decoded(clip) for name, clip in heard}


def _decoded(clip: Clip) -> bytes:
    """A clip as WAV."""
    import soundfile  # noqa: PLC0415 (heavy, and seldom needed)

    samples, rate = soundfile.read(io.BytesIO(clip.data), dtype="int16", always_2d=True)
    buffer = io.BytesIO()
    soundfile.write(buffer, samples, rate, format="WAV", subtype="PCM_16")
    return buffer.getvalue()


def example_files(made: Mapping[int, Made]) -> dict[str, bytes]:
    """Every example as MusicXML, by file name."""
    shown = [(piece.name, piece.figure.example) for piece in pieces(made)]
    return {f"{name}.musicxml": example_musicxml(example) for name, example in shown if example is not None}


def captions(made: Mapping[int, Made]) -> str:
    """All captions as plain text, numbered, with sources, sounds and what the drawings show in words."""
    return "\n".join(_caption(piece) for piece in pieces(made))


def _caption(piece: Piece) -> str:
    figure = piece.figure
    lines = [f"{figure.label}. {figure.words}" if figure.label else figure.words]
    told = [("Source", figure.source)]
    if figure.clip:
        told.append(("Sound", f"{figure.clip.duration_s:.0f} seconds, {figure.clip.soundfont}"))
    told += [("In words", figure.description), ("Files", piece.name), ("Line of the lesson", str(piece.line))]
    for name, words in told:
        if words:
            lines += textwrap.wrap(f"{name}: {words}", 100, initial_indent="    ", subsequent_indent="        ")
    return "\n".join(lines) + "\n"
