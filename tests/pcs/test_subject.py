"""Order and names of the notes shown agree with what was typed."""

from __future__ import annotations

import pytest

from sonorarium.pcs.subject import subject


@pytest.mark.parametrize(
    ("typed", "title", "names"),
    [
        ("D double harmonic", "D double harmonic", "D Eb F# G A Bb C#"),
        ("C E Ab B", "C E A♭ B", "C E Ab B"),
        ("b, ab, e, c, b", "B C E A♭", "B C E Ab"),
        ("0 3 7", "C E♭ G", "C Eb G"),
        ("3-11", "3-11", "C Eb G"),
        ("4-19", "4-19", "C Db E G#"),
        ("4-19A on C", "4-19A on C", "C Db E G#"),
        ("[0148] on Eb", "[0148] on Eb", "Eb Fb G B"),
        ("Ebmaj7#5", "E♭maj7♯5", "Eb G B D"),
        ("Ab over C7", "Ab over C7", "C Eb E G Ab Bb"),
        ("fourths 4-4 on D", "fourths 4-4 on D", "D G C"),
        ("C3 G3 E4", "C3 G3 E4", "C E G"),
    ],
)
def test_titles_and_names(typed: str, title: str, names: str) -> None:
    shown = subject(typed)
    assert (shown.title, " ".join(note.text for note in shown.notes)) == (title, names)
    assert shown.pcset.pcs == tuple(sorted(shown.rising))


def test_degrees_are_those_of_the_major_scale_on_the_root() -> None:
    assert subject("F# locrian").degrees == ("1", "♭2", "♭3", "4", "♭5", "♭6", "♭7")
    assert subject("C lydian #2").degrees == ("1", "♯2", "3", "♯4", "5", "6", "7")
