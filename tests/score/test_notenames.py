import pytest

from sonorarium.score.notenames import sounding_names
from tests.score.little_scores import little_score


def test_names_at_pitch_are_those_of_the_page() -> None:
    score = little_score({"Piano": ["Cb4:1 B#3:1 Fx5:1 Ebb2:1"]})
    assert sounding_names(score.notes) == ("Cb4", "B#3", "F##5", "Ebb2")


@pytest.mark.parametrize(
    ("instrument", "transposition", "written", "sounding"),
    [
        ("clarinet in B flat", -2, "D4 B4 F#4 C4", "C4 A4 E4 Bb3"),
        ("clarinet in A", -3, "C5 Eb5 G#4", "A4 C5 E#4"),
        ("horn in F", -7, "C5 E5 Bb4", "F4 A4 Eb4"),
        ("saxophone in E flat", -9, "A4 F#4", "C4 A3"),
        ("piccolo", 12, "F#4 Bb4", "F#5 Bb5"),
        ("double bass", -12, "E3", "E2"),
        ("anything a tritone up", 6, "C4", "F#4"),
    ],
)
def test_transposing_instruments_are_named_at_pitch(
    instrument: str, transposition: int, written: str, sounding: str
) -> None:
    line = " ".join(f"{note}:1" for note in written.split())
    score = little_score({instrument: [line]}, transposition=transposition)
    assert " ".join(sounding_names(score.notes)) == sounding
