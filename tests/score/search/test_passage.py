import json
import pickle
from fractions import Fraction
from pathlib import Path

import music21
import pytest

from sonorarium.pcs.pcset import PcSet
from sonorarium.score.metre import Place
from sonorarium.score.reading import read_score
from sonorarium.score.search.finding import find
from sonorarium.score.search.passage import Passage, Source, Stretch, transposition_of
from sonorarium.score.search.salience import Salience
from sonorarium.score.search.teachability import Teachability
from tests.score.little_scores import little_score


@pytest.fixture
def passage() -> Passage:
    score = little_score({"Flute": ["r:3 C5:1 E5:4"], "Viola": ["r:4 G#3:2 B3:2"]})
    (found,) = find(score, "4-19", kind="texture")
    return found


def test_a_passage_says_where_it_is_and_what_it_shows(passage: Passage) -> None:
    assert (passage.onset, passage.end, passage.bars, passage.bar_indices) == (36, 96, ("1", "2"), (0, 1))
    assert passage.first == Place(36, 0, "1", Fraction(4))
    assert passage.last == Place(72, 1, "2", Fraction(3))
    assert (passage.notes, passage.rows) == (("C5", "E5", "G#3", "B3"), (0, 1, 2, 3))
    assert (passage.pcs, passage.label, passage.transposition) == (PcSet((0, 4, 8, 11)), "4-19B", "T0I")
    assert passage.parts == ("Flute", "Viola")
    assert passage.foreign == 0


def test_repr_evaluates_back(passage: Passage) -> None:
    types = (Passage, Source, Stretch, Place, Salience, PcSet, Fraction, Teachability)
    names = {type_.__name__: type_ for type_ in types}
    assert eval(repr(passage), names) == passage
    assert hash(passage) == hash(eval(repr(passage), names))


def test_passages_travel_between_processes(passage: Passage) -> None:
    assert pickle.loads(pickle.dumps(passage)) == passage
    assert len(pickle.dumps(passage)) < 2_000


def test_the_json_form_has_these_keys(passage: Passage) -> None:
    plain = json.loads(json.dumps(passage.as_dict()))
    assert plain == {
        "source": {"path": "", "digest": "", "title": "A little score", "composer": ""},
        "kind": "texture",
        "set": [0, 4, 8, 11],
        "label": "4-19B",
        "transposition": "T0I",
        "onset": 36,
        "end": 96,
        "bars": ["1", "2"],
        "bar_indices": [0, 1],
        "first": {"tick": 36, "bar_index": 0, "bar": "1", "beat": "4"},
        "last": {"tick": 72, "bar_index": 1, "bar": "2", "beat": "3"},
        "parts": ["Flute", "Viola"],
        "notes": ["C5", "E5", "G#3", "B3"],
        "rows": [0, 1, 2, 3],
        "foreign": 0.0,
        "tightest": {"onset": 36, "end": 96, "bars": ["1", "2"], "bar_indices": [0, 1]},
        "salience": passage.salience.as_dict(),
        "besides": [],
        "near": None,
        "teachability": {
            "total": 0.8125,
            "length_bars": 1.25,
            "bars": 2,
            "staves": 2,
            "notes": 4,
            "at_once": 2,
            "notes_per_bar": 3.2,
            "begins_bar": False,
            "after_rest": True,
            "held_in": 0,
        },
        "repeats": [],
        "transposed": [],
    }


def test_the_source_is_the_file_and_its_digest() -> None:
    path = Path(music21.__file__).parent / "corpus/bach/bwv66.6.mxl"
    score = read_score(path)
    source = find(score, "3-11")[0].source
    assert (source.path, source.digest) == (str(path), score.digest)
    assert len(source.digest) == 64


@pytest.mark.parametrize("mask", range(1, 4096, 7))
def test_a_transposition_carries_the_prime_form_into_the_set(mask: int) -> None:
    shown = PcSet.of_mask(mask)
    prime = PcSet(shown.prime_form)
    name = transposition_of(shown)
    n = int(name.strip("TI"))
    assert (prime.inverted(n) if name.endswith("I") else prime.transposed(n)) == shown
    assert all(prime.transposed(m) != shown for m in range(n if "I" not in name else 12))
