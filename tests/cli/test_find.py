"""``sonorarium find`` as a person runs it: every option, what is said of it, and what nothing found looks like."""

from __future__ import annotations

import json
import os
import re
import subprocess
import sys
from pathlib import Path
from typing import Any

import pytest

from sonorarium.score.search.finding import find
from sonorarium.score.search.salience import Salience
from tests.score.little_scores import little_score

ROOT = Path(__file__).parents[2]
PIECES = ROOT / "demo" / "pieces"
MOTH = str(PIECES / "5-clockwork-moth.musicxml")


def run(*words: str, **environment: str) -> subprocess.CompletedProcess[str]:
    command = [sys.executable, "-c", "from sonorarium.cli import main; main()", "find", *words]
    env = os.environ | environment
    return subprocess.run(command, capture_output=True, text=True, cwd=ROOT, timeout=120, check=False, env=env)


def json_of(*words: str, status: int = 0) -> Any:
    done = run(*words, "--json")
    assert done.returncode == status, done.stderr
    return json.loads(done.stdout)


def test_how_the_search_was_read_is_printed_with_the_result() -> None:
    done = run("5-26", str(PIECES), "--limit", "1")
    assert done.stdout.splitlines()[-1] == (
        "Read as: class 5-26 under transposition and inversion; as chord, line or texture; chords exact; sounding "
        "notes; all parts; no foreign notes; repeats folded."
    )
    assert "teachability" in done.stdout
    assert " bars and " in done.stderr


def test_every_option_stands_in_the_json_form() -> None:
    found = json_of(
        *("C E G", str(PIECES), "--kind", "chord", "--under", "TnI", "--struck", "--at-least", "--shortest", "1/8"),
        *("--longest", "2 bars", "--least-notes", "3", "--bars", "1-16", "--by", "place", "--every"),
    )
    expected = {"under": "TnI", "kinds": ["chord"], "struck": True, "extra": 12, "least_quarters": 0.125}
    expected |= {"most_bars": 2.0, "least_notes": 3, "bars": "1-16", "by": "place", "fold": False}
    assert expected.items() <= found["options"].items()
    places = [(one["source"]["path"], one["onset"]) for one in found["passages"]]
    assert places == sorted(places)
    assert found["count"] >= len(places) > 0


@pytest.mark.parametrize(
    ("option", "words"),
    [
        (("--extra", "1"), "chords may hold 1 other pitch class besides"),
        (("--near", "1"), "and sets up to 1 semitone away"),
        (("--alike", "0.9"), "and classes of likeness 0.9 or more (1 − ASIM)"),
        (("--tolerance", "0.1"), "up to 10 % of the time foreign"),
        (("--bass", "D"), "D lowest"),
        (("--top", "F#"), "F♯ or G♭ highest"),
        (("--part", "Piano"), "parts: Piano"),
        (("--by", "teachability"), "listed by teachability"),
        (("--longest", "1 bar"), "at most 1 bar long"),
    ],
)
def test_options_are_understood_and_said(option: tuple[str, ...], words: str) -> None:
    done = run("3-11", str(PIECES), *option)
    assert done.returncode == 0, done.stderr
    assert words in done.stdout.splitlines()[-1]


def test_near_finds_say_what_differs_and_come_after_exact_ones() -> None:
    found = json_of("3-12", str(PIECES), "--near", "1", "--kind", "chord", "--limit", "5000")
    near = [one["near"] for one in found["passages"]]
    assert None in near
    marked = [one for one in near if one]
    assert marked == near[near.count(None) :]
    assert all(one["semitones"] == 1 and one["difference"] for one in marked)


def test_repeats_are_folded_unless_every_one_is_asked_for() -> None:
    folded = json_of("3-11", str(PIECES), "--limit", "5000")
    every = json_of("3-11", str(PIECES), "--limit", "5000", "--every")
    assert folded["count"] == every["count"] == len(every["passages"])
    assert folded["folded"] == folded["count"] - len(folded["passages"]) > 0
    assert sum(len(one["repeats"]) for one in folded["passages"]) == folded["folded"]
    assert "again in bar" in run("3-11", str(PIECES), "--limit", "100").stdout


def test_several_sets_in_a_row() -> None:
    done = run("3-11 then 3-12 within two bars", str(PIECES), "--kind", "chord")
    assert done.returncode == 0
    assert "3/2 quarters later: chord of 3-12" in done.stdout
    assert "then class 3-12" in done.stdout.splitlines()[-1]
    found = json_of("3-11 then 3-12 within two bars", str(PIECES), "--kind", "chord")
    assert found["options"]["within"] == [{"amount": 2.0, "unit": "bars"}]
    assert len(found["chains"]) == found["count"] > 0
    assert [one["label"][:4] for one in found["chains"][0]["passages"]] == ["3-11", "3-12"]


def test_nothing_found_says_how_much_was_searched_and_what_comes_nearest() -> None:
    done = run("7-22", MOTH)
    assert (done.returncode, done.stdout) == (1, "")
    assert "1 file searched; 0 passages in 0 of them." in done.stderr
    assert "It has " in done.stderr
    assert "Read as: class 7-22" in done.stderr
    assert "Nearest: " in done.stderr
    assert "bar" in done.stderr.split("Nearest: ")[1]
    found = json_of("7-22", MOTH, status=1)
    assert (found["passages"], found["count"]) == ([], 0)
    assert found["bars"] > 0
    assert found["notes"] > 0
    assert all(one["near"]["semitones"] in (1, 2) for one in found["nearest"])
    assert found["nearest"]


def test_nothing_near_either_is_said() -> None:
    done = run("11-1", MOTH, "--kind", "chord")
    assert done.returncode == 1
    assert "No set within two semitones was found either." in done.stderr


def test_a_row_that_is_not_found_tells_how_often_each_set_is() -> None:
    done = run("3-11 then 9-1", MOTH, "--kind", "chord")
    assert done.returncode == 1
    assert "9-1 not at all" in done.stderr


@pytest.mark.parametrize(
    ("words", "sentence"),
    [
        (("3-11", MOTH, "--extra", "1", "--at-least"), "Choose one of the two."),
        (("3-11", MOTH, "--near", "1", "--alike", "0.9"), "not by both"),
        (("3-11", MOTH, "--under", "Tn"), "is a class, which leaves open"),
        (("3-11", MOTH, "--shortest", "long"), "'long' is no length"),
        (("3-11", MOTH, "--by", "beauty"), "cannot be listed by 'beauty'"),
        (("3-11", MOTH, "--bass", "H"), "not a note name"),
        (("3-11 then", MOTH), "A set is missing"),
        (("3-11", MOTH, "--kind", "line", "--struck"), "changes nothing"),
        (("3-11", MOTH, "--shelf", "somewhere"), "Files are searched, or a shelf, not both."),
    ],
)
def test_what_has_no_meaning_is_one_clear_sentence(words: tuple[str, ...], sentence: str) -> None:
    done = run(*words)
    assert (done.returncode, done.stdout) == (2, "")
    assert sentence in done.stderr
    assert "Traceback" not in done.stderr


def test_bars_that_a_piece_has_not_are_a_reason_not_to_search_it() -> None:
    done = run("3-11", str(PIECES), "--bars", "40-48")
    assert "Not searched: " in done.stderr
    assert "has no bar 4" in done.stderr


def test_without_files_the_shelf_is_searched(tmp_path: Path) -> None:
    place = str(tmp_path / "shelf")
    empty = run("3-11", SONORARIUM_SHELF=place)
    assert empty.returncode == 2
    assert "There is no shelf" in empty.stderr
    command = [sys.executable, "-c", "from sonorarium.cli import main; main()", "shelf", "add", str(PIECES)]
    subprocess.run(command, check=True, capture_output=True, env=os.environ | {"SONORARIUM_SHELF": place}, cwd=ROOT)
    for words in (("5-26",), ("5-26", "--struck", "--by", "place"), ("3-11 then 3-12", "--kind", "chord")):
        on_shelf = run(*words, "--json", SONORARIUM_SHELF=place)
        in_files = run(*words, "--json", str(PIECES))
        assert on_shelf.returncode == in_files.returncode == 0, on_shelf.stderr
        told = [json.loads(done.stdout) for done in (on_shelf, in_files)]
        assert told[0]["count"] == told[1]["count"]
        for key in ("passages", "chains"):
            assert [shown(one) for one in told[0][key]] == [shown(one) for one in told[1][key]]


def shown(one: dict[str, Any]) -> tuple[object, ...]:
    return one["onset"], one["end"], one["kind"], one["bars"]


def test_the_manual_page_explains_every_option() -> None:
    page = (ROOT / "docs" / "finding.md").read_text(encoding="utf-8")
    shown = run("--help", COLUMNS="200", TERM="dumb").stdout
    options = set(re.findall(r"(--[a-z-]+)", shown)) - {"--help", "--jobs", "--shelf"}
    assert len(options) > 15
    assert {option for option in options if f"`{option}" not in page} == set()


def test_the_worked_example_of_the_manual_page() -> None:
    (passage,) = find(little_score({"Flute": ["C4:2 E4:2 D4:4"]}), "C E", kind="line")
    page = (ROOT / "docs" / "finding.md").read_text(encoding="utf-8")
    assert passage.salience == Salience(0.6667, 1.0, 0.5, 1.0, 1.0)
    assert f"= {passage.salience.total}." in page
