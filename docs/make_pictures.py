"""Make the pictures of the README with the tool itself: ``python docs/make_pictures.py``."""

from __future__ import annotations

import tempfile
from pathlib import Path

import pypdfium2

from sonorarium.lesson.building import build_lesson, read_lesson
from sonorarium.lesson.illustrations.sheets import engrave_scale
from sonorarium.lesson.illustrations.surveys import kin_strips
from sonorarium.pcs.families import find_family
from sonorarium.pcs.subject import subject
from sonorarium.render.engraving import PassageLook, engrave_passage
from sonorarium.render.ribbon import draw_ribbon
from sonorarium.render.strips import draw_strips
from sonorarium.render.typesetting import PAPER, paint
from sonorarium.score.analysis.tracing import trace
from sonorarium.score.reading import read_score
from sonorarium.score.search.finding import find

DOCS = Path(__file__).resolve().parent
DEMO = DOCS.parent / "demo"
WIDTH_PX = 1400


def main() -> None:
    """Paint the scale, its kin, a passage, and the first pages of the lesson."""
    scale = subject("D double harmonic")
    score = read_score(DEMO / "pieces" / "1-saffron-evening.musicxml")
    best = find(score, "5-15", kind="texture")[0]
    passage = engrave_passage(
        score, *best.bar_indices, marked_rows=best.rows, look=PassageLook(width_mm=170, part_names=False)
    )
    well = read_score(DEMO / "pieces" / "3-the-well.musicxml")
    pictures = {
        "ribbon": draw_ribbon(trace(well, find_family("double-harmonic"))),
        "scale": engrave_scale(scale).svg,
        "kin": draw_strips(kin_strips(scale), label_width=330),
        "passage": passage.svg,
    }
    for name, drawing in pictures.items():
        (DOCS / "pictures" / f"{name}.png").write_bytes(paint(drawing, WIDTH_PX, paper=PAPER))
    paint_lesson()


def paint_lesson() -> None:
    """The second page of the demo lesson, as it is printed."""
    with tempfile.TemporaryDirectory() as folder:
        lesson = read_lesson(DEMO / "lessons" / "1-the-double-harmonic-scale.md")
        (paper,) = build_lesson(lesson, Path(folder), forms=("pdf",))
        page = pypdfium2.PdfDocument(paper)[1]
        page.render(scale=1.6).to_pil().save(DOCS / "pictures" / "lesson.png", optimize=True)


if __name__ == "__main__":
    main()
