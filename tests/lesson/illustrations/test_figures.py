"""Figures say in words all that they draw, sound where they are asked to, and refuse what cannot be."""

from __future__ import annotations

from pathlib import Path

import pytest

from sonorarium.errors import InputError, NothingFoundError, SonorariumError
from sonorarium.lesson.directives import make
from sonorarium.lesson.illustrations.blocks import Figure
from sonorarium.lesson.markdown import read_page
from sonorarium.study.folder import open_study

DEMO = Path(__file__).parents[3] / "demo"


def figure_of(text: str) -> Figure:
    (directive,) = read_page(f"{text}\n").directives
    (figure,) = make(directive, open_study(DEMO)).blocks
    assert isinstance(figure, Figure)
    return figure


@pytest.mark.parametrize("kind", ["circle", "keyboard", "lattice"])
def test_the_words_say_notes_root_and_second_set(kind: str) -> None:
    figure = figure_of(f"```{{{kind}}} D double harmonic\n:with: Dmaj7\n```")
    assert "D double harmonic (7-22): D, E♭, F♯, G, A, B♭, C♯, root D" in figure.description
    assert "with Dmaj7: D, F♯, A, C♯" in figure.description
    assert figure.caption.startswith("D double harmonic with Dmaj7")
    assert figure.clip is None
    assert 60 < figure.width_mm <= 160


@pytest.mark.parametrize("kind", ["circle", "keyboard", "lattice"])
@pytest.mark.parametrize("way", ["scale", "chord", "arpeggio"])
def test_a_figure_of_a_set_sounds_when_asked(kind: str, way: str) -> None:
    assert figure_of(f"```{{{kind}}} C E Ab B\n:sound: {way}\n```").clip is not None


def test_axes_are_counted() -> None:
    """The augmented triad has three axes, the double harmonic one (Straus, Introduction to Post-Tonal Theory)."""
    assert "1 axis of symmetry" in figure_of("```{circle} D double harmonic\n:axes: yes\n```").description
    assert "3 axes of symmetry" in figure_of("```{circle} C E G#\n:axes: yes\n```").description


def test_several_circles_carry_their_titles() -> None:
    figure = figure_of("```{circle} C major; C minor; C lydian\n```")
    assert ">C lydian<" in figure.svg
    assert figure.caption == "C major, C minor and C lydian on the circle of semitones."


def test_degrees_at_the_keys() -> None:
    figure = figure_of("```{keyboard} D double harmonic\n:names: degrees\n```")
    assert ">♭2<" in figure.svg
    assert ">E♭<" not in figure.svg


def test_the_network_of_kin_says_every_move() -> None:
    figure = figure_of("```{network} D double harmonic\n```")
    assert figure.svg.count("<rect") == 8  # seven sets, and the doubled frame of the first
    assert "7 sets joined by 6 moves" in figure.description
    assert "D double harmonic to D harmonic major: E♭ becomes E" in figure.description
    assert ">E–E♭<" in figure.svg


def test_a_way_is_marked_and_sounds() -> None:
    figure = figure_of("```{network} spaced\n:kinds: diatonic\n:from: C major\n:to: E major\n:sound: yes\n```")
    assert "Marked way: C diatonic, G diatonic, D diatonic, A diatonic, E diatonic." in figure.description
    assert figure.clip is not None


def test_splits_are_told_as_splits() -> None:
    """The whole-tone scale splits into acoustic scales (Callender 1998)."""
    figure = figure_of("```{network} C whole tone; C acoustic\n:splits: yes\n```")
    assert "splits into" in figure.description
    assert "broken lines: splits and fuses" in figure.caption


def test_frames_may_hold_labels() -> None:
    figure = figure_of("```{network} C; Cm; Caug\n:labels: classes\n```")
    assert ">3-11B<" in figure.svg
    assert ">3-12<" in figure.svg


@pytest.mark.parametrize(
    ("text", "kind", "sentence"),
    [
        ("```{network} C; Em\n:from: C\n```", InputError, "needs both 'from' and 'to'"),
        ("```{network} C; Am; F#\n:from: C\n:to: F#\n```", NothingFoundError, "no way leads from C to F#"),
        ("```{network} C; Em\n:sound: yes\n```", InputError, "sounds along a way"),
        ("```{network} C; Em\n:from: C\n:to: G\n```", InputError, "is not in the network"),
        ("```{network} spaced\n:kinds: blue\n```", InputError, "no kind 'blue'"),
        ("```{network} no such thing\n```", InputError, "There is no family"),
        ("```{keyboard} C3 G3 E4\n:octaves: 2\n```", InputError, "the option 'octaves' is for sets"),
        ("```{circle} C major\n:order: thirds\n```", InputError, "It takes semitones or fifths"),
        ("```{lattice} C major\n:sound: loud\n```", InputError, "It takes no, scale, chord or arpeggio"),
        (f"```{{circle}} {'; '.join(['C'] * 10)}\n```", InputError, "10 sets cannot be drawn here"),
    ],
)
def test_refusals(text: str, kind: type[SonorariumError], sentence: str) -> None:
    with pytest.raises(kind) as caught:
        figure_of(text)
    assert sentence in str(caught.value)
    assert str(caught.value).startswith("Line 1: ")
