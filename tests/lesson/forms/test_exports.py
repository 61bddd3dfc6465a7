"""Every figure, sound and example of a lesson comes out whole, numbered, and alike each time."""

from __future__ import annotations

import io
from pathlib import Path

import numpy as np
import pytest
import soundfile
from lxml import etree
from PIL import Image

from sonorarium.errors import InputError
from sonorarium.lesson.forms.exports import (
    captions,
    clip_files,
    example_files,
    figure_files,
    labelled,
    pieces,
    standing_alone,
)
from sonorarium.lesson.forms.theme import DARK, LIGHT
from sonorarium.lesson.illustrations.blocks import Facts, Figure, Made
from sonorarium.lesson.illustrations.sheets import make_chord, make_scale
from sonorarium.lesson.markdown import read_page
from sonorarium.render.engraving import engrave_notes, scale
from sonorarium.study.folder import Study

TEXT = """
```{scale} D double harmonic
:sound: no

The scale.
```

```{survey} D double harmonic
```

```{sound} C E G
```

```{chord} C E Ab B
```

```{drill} C major
```
"""
DRAWN = (
    "<svg xmlns='http://www.w3.org/2000/svg' viewBox='0 0 4 1'><rect width='4' height='1' fill='currentColor'/></svg>"
)


@pytest.fixture(scope="module")
def made(tmp_path_factory: pytest.TempPathFactory) -> dict[int, Made]:
    study = Study(tmp_path_factory.mktemp("study"))
    shown, survey, sound, chord, drill = read_page(TEXT).directives
    bare = make_chord(chord, study).blocks[0]
    assert isinstance(bare, Figure)
    return labelled(
        (shown, survey, sound, chord, drill),
        {
            shown.line: make_scale(shown, study),
            survey.line: Made((Facts("facts", (("a", "b"),)),)),
            sound.line: Made((Figure("", "C, E and G", "Heard.", clip=bare.clip),)),
            chord.line: Made((bare,)),
            drill.line: Made((Figure(DRAWN, "one", "1. Which?"), Figure(DRAWN, "two", "2. Which?"))),
        },
    )


def test_figures_and_sounds_are_counted_apart_and_drills_keep_their_numbers(made: dict[int, Made]) -> None:
    found = [(piece.name, piece.figure.label) for piece in pieces(made)]
    assert found == [
        ("figure-01", "Figure 1"),
        ("sound-01", "Sound 1"),
        ("figure-02", "Figure 2"),
        ("exercise-01", ""),
        ("exercise-02", ""),
    ]


def test_numbers_do_not_depend_on_sounds(made: dict[int, Made]) -> None:
    page = read_page(TEXT)
    silent = {line: one for line, one in made.items() if not any(getattr(b, "clip", None) for b in one.blocks)}
    again = labelled([d for d in page.directives if d.line in silent], silent)
    assert [piece.name for piece in pieces(again)] == ["figure-01", "exercise-01", "exercise-02"]


def test_pictures_have_the_width_and_the_ground_asked_for(made: dict[int, Made]) -> None:
    clear = figure_files(made, LIGHT, width_px=400)
    laid = figure_files(made, LIGHT, width_px=3840, ground="paper")
    assert list(clear) == [f"{name}.{kind}" for name in _DRAWN for kind in ("svg", "png")]
    for name in _DRAWN:
        picture = Image.open(io.BytesIO(clear[f"{name}.png"]))
        assert (picture.width, picture.mode) == (400, "RGBA")
        faintest, _ = picture.getchannel("A").getextrema()
        assert faintest == 0 or name.startswith("exercise")
        large = Image.open(io.BytesIO(laid[f"{name}.png"]))
        assert large.width == 3840
        edges = ((x, y) for x in (0, large.width - 1) for y in (0, large.height - 1))
        assert {large.getpixel(edge) for edge in edges} == {(0xFB, 0xF7, 0xEE, 255)}


_DRAWN = ("figure-01", "figure-02", "exercise-01", "exercise-02")


def test_drawings_stand_alone_in_the_colours_of_the_theme(made: dict[int, Made]) -> None:
    for name, data in figure_files(made, DARK, width_px=40).items():
        if name.endswith(".svg"):
            text = data.decode()
            etree.fromstring(data)
            assert "<text" not in text
            assert "currentColor" not in text
            assert DARK.ink in text


def test_outlined_words_cover_the_place_of_the_text() -> None:
    drawing = engrave_notes(scale([(1, 0, 4), (2, -1, 4)], ["1", "♭2"]))
    assert "<text" in drawing.svg
    alone = standing_alone(drawing.svg)
    assert "<text" not in alone
    paths = etree.fromstring(alone).iter("{http://www.w3.org/2000/svg}path")
    assert any("translate" in str(path.get("transform")) for path in paths)


def test_what_our_font_lacks_stays_text() -> None:
    foreign = '<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 9 9"><text y="9">調</text></svg>'
    assert "<text" in standing_alone(foreign)


def test_clips_are_those_of_the_page_or_the_same_decoded(made: dict[int, Made]) -> None:
    clips, decoded = clip_files(made), clip_files(made, sound="wav")
    assert list(clips) == ["sound-01.opus", "figure-02.opus"]
    figure = next(piece.figure for piece in pieces(made) if piece.name == "figure-02")
    assert figure.clip is not None
    assert clips["figure-02.opus"] == figure.clip.data
    samples, rate = soundfile.read(io.BytesIO(decoded["figure-02.wav"]), always_2d=True)
    assert rate == 48000
    assert len(samples) / rate == pytest.approx(figure.clip.duration_s, abs=0.05)
    assert 0.01 < float(np.abs(samples).max()) < 0.75


def test_examples_are_there_for_what_is_engraved(made: dict[int, Made]) -> None:
    files = example_files(made)
    assert list(files) == ["figure-01.musicxml", "figure-02.musicxml"]
    assert files["figure-01.musicxml"].count(b"<step>") == 8
    assert files["figure-02.musicxml"].count(b"<chord") == 3


def test_captions_say_all_of_it(made: dict[int, Made]) -> None:
    text = captions(made)
    assert text.startswith("Figure 1. The scale.\n")
    assert "    In words: D double harmonic: D, E♭, F♯, G, A, B♭, C♯\n    Files: figure-01\n" in text
    assert "Sound 1. Heard.\n    Sound: " in text
    assert "\n1. Which?\n" in text


def test_what_cannot_be_is_refused(made: dict[int, Made]) -> None:
    with pytest.raises(InputError, match="cannot be 3841 pixels wide here"):
        figure_files(made, LIGHT, width_px=3841)
    with pytest.raises(InputError, match=r"no ground 'green'\. Use transparent or paper"):
        figure_files(made, LIGHT, ground="green")
    with pytest.raises(InputError, match=r"no sound 'mp3'\. Use opus or wav"):
        clip_files(made, sound="mp3")


def test_everything_is_alike_twice(made: dict[int, Made], monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setenv("SONORARIUM_CACHE", "none")
    assert figure_files(made, LIGHT, width_px=300) == figure_files(made, LIGHT, width_px=300)
    assert example_files(made) == example_files(made)
    assert clip_files(made, sound="wav") == clip_files(made, sound="wav")


def test_a_drawing_on_paper_keeps_its_scale(tmp_path: Path) -> None:
    svg = '<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 40 10" width="80mm" height="20mm"/>'
    root = etree.fromstring(standing_alone(svg, "#ffffff"))
    box = [float(one) for one in str(root.get("viewBox")).split()]
    assert float(str(root.get("width")).removesuffix("mm")) / box[2] == pytest.approx(2.0)
    assert float(str(root.get("height")).removesuffix("mm")) / box[3] == pytest.approx(2.0)
