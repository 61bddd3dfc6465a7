import pytest

from sonorarium.errors import InputError
from sonorarium.score.finding import find
from sonorarium.score.material import Material
from tests.score.little_scores import little_score


def test_material_is_searched_like_its_score() -> None:
    score = little_score({"Flute": ["C4:1 E4:1 G4:2"], "Viola": ["F3:4"]})
    material = Material(score, ("Flute",))
    for what in ("C E G", "2-3"):
        assert find(material, what) == find(score, what, parts=["Flute"])
    with pytest.raises(InputError, match="other parts than the query asks for"):
        find(material, "C E G", parts=["Viola"])


def test_a_part_that_is_not_there_is_named() -> None:
    material = Material(little_score({"Flute": ["C4:4"]}), ("Tuba",))
    for question in ("slices", "sliced", "lines"):
        with pytest.raises(InputError, match="no part named 'Tuba'"):
            getattr(material, question)
