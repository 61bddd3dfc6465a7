"""What a found voicing says of itself."""

from __future__ import annotations

from sonorarium.pcs.spelling import Spelled
from sonorarium.pitch.voiced import Figures, Voiced, Voicings
from sonorarium.pitch.voicing import Voicing

FIGURES = Figures(1.0, 0.5, 2.0, 24)
CHORD = Voiced(
    Voicing((51, 58, 67, 75)), (Spelled(2, -1), Spelled(6, -1), Spelled(4), Spelled(2, -1)), FIGURES, left=2
)


def test_notes_are_written_and_read() -> None:
    assert CHORD.text == "E♭3 B♭3 G4 E♭5"
    assert CHORD.written[0] == (2, -1, 3)
    assert CHORD.hands == ((51, 58), (67, 75))
    assert CHORD.doubled == (Spelled(2, -1),)


def test_a_list_of_voicings_counts_and_is_a_sequence() -> None:
    found = Voicings("Eb", (CHORD,), 1200, 30)
    assert (len(found), found[0], list(found), found[:1]) == (1, CHORD, [CHORD], (CHORD,))
    assert found.is_cut
    assert found.summary == "Eb: 1,200 ways, 30 within the limits, the best 1 shown"
    assert Voicings("Eb", (CHORD,), 1, 1).summary == "Eb: 1 ways, 1 within the limits"
