"""Pages and pictures: our fonts only, the same bytes, no empty boxes."""

from __future__ import annotations

import io
from pathlib import Path

import numpy as np
import pypdfium2
import pytest
from numpy.typing import NDArray
from PIL import Image

from sonorarium.errors import InputError, ToolError
from sonorarium.render.engraving import Column, PassageLook, engrave_notes, engrave_passage
from sonorarium.render.typesetting import PAPER, fonts, paint, typeset
from sonorarium.score.reading import read_score
from tests.render.scores import attributes, direction, document, note, part


def pages(pdf: bytes, scale: float = 3.0) -> list[NDArray[np.uint8]]:
    """The pages of a PDF as grey pictures, drawn by a second renderer."""
    with pypdfium2.PdfDocument(pdf) as read:
        return [np.asarray(page.render(scale=scale).to_pil().convert("L")) for page in read]


def words(pdf: bytes) -> str:
    """The text of a PDF."""
    with pypdfium2.PdfDocument(pdf) as read:
        return "\n".join(page.get_textpage().get_text_bounded() for page in read)


def likeness(first: NDArray[np.uint8], second: NDArray[np.uint8]) -> float:
    """Correlation of two grey pictures of about the same size."""
    height, width = min(first.shape[0], second.shape[0]), min(first.shape[1], second.shape[1])
    a, b = (picture[:height, :width].astype(float).ravel() for picture in (first, second))
    return float(np.corrcoef(a, b)[0, 1])


def page_of(svg: str, width_mm: float) -> bytes:
    """A PDF as large as one drawing."""
    source = f'#set page(width: {width_mm}mm, height: auto, margin: 0pt)\n#image("d.svg", width: {width_mm}mm)'
    return typeset(source, {"d.svg": svg.encode()})


def test_only_our_fonts_exist() -> None:
    assert fonts().families() == ["Sonorarium Sans", "Sonorarium Serif"]


def test_a_font_that_is_not_ours_is_an_error() -> None:
    with pytest.raises(ToolError, match="unknown font family"):
        typeset('#set text(font: "Arial")\nwords')


def test_the_same_source_gives_the_same_bytes() -> None:
    assert typeset("= One page") == typeset("= One page")


def test_a_wrong_source_is_an_error() -> None:
    with pytest.raises(ToolError, match="could not be set: unknown variable: nothing"):
        typeset("#nothing")


@pytest.mark.parametrize("name", ["../out.svg", "/out.svg", "a/../../out.svg", "main.typ", "", "a\\b"])
def test_files_cannot_be_written_elsewhere(name: str) -> None:
    with pytest.raises(InputError, match="A file cannot be called"):
        typeset("x", {name: b""})


def test_files_outside_cannot_be_read(tmp_path: Path) -> None:
    secret = tmp_path / "secret.txt"
    secret.write_text("secret")
    with pytest.raises(ToolError):
        typeset(f'#read("{secret}")')
    with pytest.raises(ToolError):
        typeset('#read("../secret.txt")')


def test_nothing_is_fetched() -> None:
    with pytest.raises(InputError, match="package from the network"):
        typeset('#import "@preview/anything:1.0.0": thing')


def test_files_in_folders() -> None:
    assert "inside" in words(typeset('#read("texts/a.txt")', {"texts/a.txt": b"inside"}))


CHORD = [Column(((6, -1, 3), (1, 0, 4), (3, 0, 4), (5, -1, 4)), above="B♭7", below="4-27B")]


def test_flats_of_chord_symbols_print_as_flats() -> None:
    """The words are searchable, and the page looks like the same drawing with all words as outlines."""
    drawing, outlined = engrave_notes(CHORD), engrave_notes(CHORD, outlined=True)
    pdf = page_of(drawing.svg, drawing.width_mm)
    assert "B♭7" in words(pdf)
    (with_font,), (with_paths,) = pages(pdf), pages(page_of(outlined.svg, drawing.width_mm))
    assert likeness(with_font, with_paths) > 0.97


def test_an_empty_box_would_be_noticed() -> None:
    """The check above can fail: a drawing in which the flat is a sign that no font has looks different."""
    drawing, outlined = engrave_notes(CHORD), engrave_notes(CHORD, outlined=True)
    broken = drawing.svg.replace("B♭7", "B\uec007")
    (with_box,), (with_paths,) = (
        pages(page_of(broken, drawing.width_mm)),
        pages(page_of(outlined.svg, drawing.width_mm)),
    )
    assert likeness(with_box, with_paths) < 0.97


def test_a_metronome_mark_prints_its_note(tmp_path: Path) -> None:
    mark = "<metronome><beat-unit>half</beat-unit><per-minute>60</per-minute></metronome>"
    path = tmp_path / "tempo.musicxml"
    path.write_bytes(document(part(attributes() + direction(mark) + note("C5", 4))))
    score = read_score(path)
    drawing = engrave_passage(score, 0, 0)
    outlined = engrave_passage(score, 0, 0, look=PassageLook(outlined=True))
    pdf = page_of(drawing.svg, drawing.width_mm)
    assert "= 60" in words(pdf)
    assert not any("\ue000" <= sign <= "\uf8ff" for sign in words(pdf))
    assert likeness(pages(pdf)[0], pages(page_of(outlined.svg, drawing.width_mm))[0]) > 0.97


def test_text_on_a_page_is_searchable() -> None:
    text = "B♭△7 → F♯ø7, C₄, Dvořák"
    assert text in words(typeset(text))


@pytest.mark.parametrize("width", [40, 301, 1200])
def test_pictures_are_as_wide_as_asked(width: int) -> None:
    picture = Image.open(io.BytesIO(paint(engrave_notes(CHORD).svg, width)))
    assert picture.width == width


def test_ground_is_transparent_or_paper() -> None:
    svg = engrave_notes(CHORD).svg
    clear, paper = (Image.open(io.BytesIO(paint(svg, 200, paper=ground))).convert("RGBA") for ground in (None, PAPER))
    assert clear.getpixel((0, 0)) == (0, 0, 0, 0)
    assert paper.getpixel((0, 0)) == (0xFB, 0xF7, 0xEE, 255)


@pytest.mark.parametrize(("width", "paper"), [(0, None), (20001, None), (100, "red"), (100, '#fff"')])
def test_impossible_pictures_are_refused(width: int, paper: str | None) -> None:
    with pytest.raises(InputError):
        paint(engrave_notes(CHORD).svg, width, paper=paper)


def test_a_damaged_drawing_is_an_error() -> None:
    with pytest.raises(ToolError, match="could not be set"):
        paint("<svg", 100)
