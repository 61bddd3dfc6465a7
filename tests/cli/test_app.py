"""The commands as a person runs them: results on standard output, remarks on standard error, exit statuses."""

from __future__ import annotations

import json
import subprocess
import sys
from pathlib import Path
from typing import Any

import pytest
import soundfile

ROOT = Path(__file__).parents[2]
PIECES = ROOT / "demo" / "pieces"


def run(*words: str, cwd: Path = ROOT) -> subprocess.CompletedProcess[str]:
    command = [sys.executable, "-c", "from sonorarium.cli import main; main()", *words]
    return subprocess.run(command, capture_output=True, text=True, cwd=cwd, timeout=120, check=False)


def json_of(*words: str) -> Any:
    done = run(*words, "--json")
    assert done.returncode == 0, done.stderr
    return json.loads(done.stdout)


def test_survey_prints_a_sheet_of_80_columns() -> None:
    done = run("survey", "D double harmonic", "--size", "5")
    assert done.returncode == 0
    assert done.stderr == ""
    assert all(len(line) <= 80 for line in done.stdout.splitlines())
    assert "■■··■■·■■··■   D E♭ F♯ G A B♭ C♯" in done.stdout
    assert "5-15   1      7          ONLY HERE" in done.stdout


def test_survey_as_json() -> None:
    found = json_of("survey", "5-20")
    assert (found["kind"], found["schema"]) == ("survey", 1)
    assert found["identity"]["prime_form"] == {"rahn": [0, 1, 5, 6, 8], "forte": [0, 1, 3, 7, 8]}


def test_name_and_near() -> None:
    assert "Cmaj7#5" in run("name", "C E Ab B").stdout
    assert json_of("name", "C Eb G Bb", "--bass", "Eb")["readings"][0]["symbol"] == "Eb6"
    assert "C♯ moves to C" in run("near", "D double harmonic").stdout
    assert json_of("near", "4-Z15")["partner"] == "4-Z29"


def test_find_tells_where_and_what_was_searched() -> None:
    done = run("find", "7-22", str(PIECES), "--kind", "texture", "--limit", "3")
    assert done.returncode == 0
    assert "Bare Feet on Warm Stone, bars 1–32" in done.stdout.splitlines()[0]
    assert "6 files searched; 10 passages in 5 of them, the best 3 shown." in done.stderr


def test_find_as_json_can_be_traced_to_file_bar_and_note() -> None:
    found = json_of("find", "5-15", str(PIECES / "1-saffron-evening.musicxml"), "--kind", "texture")
    best = found["passages"][0]
    assert best["bars"] == ["26", "29"]
    assert best["source"]["digest"]
    assert len(best["rows"]) == len(best["notes"])


def test_nothing_found_is_an_answer() -> None:
    done = run("find", "7-22", str(PIECES / "5-clockwork-moth.musicxml"))
    assert (done.returncode, done.stdout) == (1, "")
    assert "7-22 was not found in 1 file." in done.stderr


@pytest.mark.parametrize(
    ("words", "sentence"),
    [
        (("survey", "7-99"), "There is no set class 7-99. Classes of 7 notes are numbered 1 to 38."),
        (("survey", "D dubble harmonic"), "double harmonic"),
        (("find", "5-26", "nowhere"), "There is no file or folder nowhere."),
        (("find", "5-26", str(PIECES), "--kind", "melody"), "melody"),
        (("hear", "D double harmonic", "--out", "x.mp9"), ".mp9"),
        (("hear", "D double harmonic", "--as", "song"), "cannot be heard as 'song'"),
        (("lesson", "build", "nowhere.md"), "nowhere.md could not be read"),
    ],
)
def test_what_is_not_understood_is_one_clear_sentence(words: tuple[str, ...], sentence: str) -> None:
    done = run(*words)
    assert (done.returncode, done.stdout) == (2, "")
    assert sentence in done.stderr
    assert "Traceback" not in done.stderr


def test_damaged_files_are_named_with_the_reason(tmp_path: Path) -> None:
    (tmp_path / "broken.mxl").write_bytes(b"PK\x03\x04 not an archive")
    done = run("find", "5-26", str(tmp_path))
    assert done.returncode == 3
    assert "Not searched: " in done.stderr
    assert "broken.mxl" in done.stderr


def test_one_damaged_file_does_not_stop_the_search(tmp_path: Path) -> None:
    (tmp_path / "broken.musicxml").write_text("<score-partwise><part>", encoding="utf-8")
    whole = PIECES / "3-the-well.musicxml"
    (tmp_path / whole.name).write_bytes(whole.read_bytes())
    done = run("find", "7-22", str(tmp_path))
    assert done.returncode == 0
    assert "The Well" in done.stdout
    assert "broken.musicxml" in done.stderr


def test_hear_writes_sound_and_says_the_caution(tmp_path: Path) -> None:
    place = tmp_path / "scale.flac"
    done = run("hear", "D double harmonic", "--out", str(place))
    assert (done.returncode, done.stdout) == (0, f"{place}\n")
    assert "volume low" in done.stderr.replace("\n", " ")
    assert 3 < soundfile.info(str(place)).duration < 6


def test_hear_some_bars_of_a_piece(tmp_path: Path) -> None:
    place = tmp_path / "bars.wav"
    found = json_of("hear", str(PIECES / "1-saffron-evening.musicxml"), "--bars", "3-4", "--out", str(place))
    assert found["heard"] == "Saffron Evening, bars 3–4"
    assert found["sound"]["duration_s"] == pytest.approx(soundfile.info(str(place)).duration, abs=0.01)


def test_lesson_build_writes_page_and_paper(tmp_path: Path) -> None:
    lesson = tmp_path / "one.md"
    lesson.write_text("# One\n\n```{scale} D double harmonic\n```\n", encoding="utf-8")
    found = json_of("lesson", "build", str(lesson))
    assert [Path(f).name for f in found["files"]] == ["one.html", "one.pdf"]
    assert (found["figures"], found["sounds"]) == (1, 1)
    assert (tmp_path / "one.pdf").read_bytes()[:5] == b"%PDF-"


def test_families_are_listed_and_shown(tmp_path: Path) -> None:
    assert "double-harmonic" in run("family").stdout
    shown = run("family", "spaced").stdout
    assert "scales without consecutive semitones: 57 scales" in shown
    assert "acoustic        diatonic        24" in shown
    found = json_of("family", "spaced")
    assert len(found["members"]) == 57
    assert len(found["common_tones"]) == 57
    assert {"from", "to", "kind", "leaving", "arriving"} == set(found["moves"][0])


def test_a_family_of_ones_own_serves_as_sisters(tmp_path: Path) -> None:
    own = tmp_path / "own.toml"
    own.write_text('name = "two scales"\nscales = ["major", "harmonic minor"]\n', encoding="utf-8")
    found = json_of("survey", "D double harmonic", "--family", str(own), "--size", "6")
    assert found["family"]["name"] == "two scales"
    own.write_text("name = 3\n", encoding="utf-8")
    done = run("family", str(own))
    assert (done.returncode, done.stdout) == (2, "")


def test_house_style_pins_and_german_names() -> None:
    assert json_of("name", "C E G H", "--german", "--style", "Δ")["readings"][0]["symbol"] == "CΔ7"
    assert json_of("name", "C E Ab B", "--pin", "E/C")["readings"][0]["symbol"] == "E/C"
    done = run("name", "C E G", "--style", "major")
    assert (done.returncode, "no house style 'major'" in done.stderr) == (2, True)


def test_classes_apart_and_readable_spelling() -> None:
    found = json_of("survey", "C harmonic minor", "--tn", "--size", "3")
    assert {row["class"] for row in found["insides"]["rows"]} >= {"3-11A", "3-11B"}
    assert "G♭ A𝄫 B𝄫 C♭ D♭ E𝄫 F♭" in run("survey", "Gb phrygian").stdout
    assert "G♭ G A C♭ D♭ D F♭" in run("survey", "Gb phrygian", "--readable").stdout


def test_chords_are_named_for_three_to_eight_notes() -> None:
    done = run("name", "C D")
    assert (done.returncode, done.stdout) == (1, "")
    assert "chords are named for 3 to 8" in done.stderr


def test_settings_are_shown_with_their_meaning(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    place = tmp_path / "settings.toml"
    place.write_text('chord_style = "M7"\n', encoding="utf-8")
    monkeypatch.setenv("SONORARIUM_SETTINGS", str(place))
    assert "chord_style" in run("settings").stdout
    assert json_of("settings")["settings"]["chord_style"] == "M7"
    assert json_of("name", "C E G B")["readings"][0]["symbol"] == "CM7"
    place.write_text('colour = "red"\n', encoding="utf-8")
    done = run("name", "C E G B")
    assert done.returncode == 2
    assert "there is no setting 'colour'" in done.stderr


def test_voicings_say_their_figures_and_what_limits_took_away(tmp_path: Path) -> None:
    done = run("voice", "4-19 on C", "--limit", "3")
    assert len(done.stdout.splitlines()) == 3
    assert "ways" in done.stderr
    found = json_of("voice", "C E G B", "--bass", "C", "--notes", "4", "--limit", "5")["results"][0]
    assert all(row["pitches"][0] % 12 == 0 for row in found["voicings"])
    nothing = run("voice", "C E G B", "--bass", "C", "--span", "3")
    assert nothing.returncode == 1
    assert "span" in nothing.stderr


def test_voicings_mode_by_mode() -> None:
    found = json_of("voice", "C major", "--modes")["results"]
    assert [one["mode"] for one in found] == [
        "lydian",
        "major",
        "mixolydian",
        "dorian",
        "minor",
        "phrygian",
        "locrian",
    ]


def test_voice_leading_between_two_sets() -> None:
    best = json_of("lead", "C E G", "C# E A")["leadings"][0]
    assert best["size"] == 3
    assert [move["text"] for move in best["moves"]][1] == "common tone E"
    assert "C up a semitone to C♯" in run("lead", "C E G", "C# E A").stdout


def test_a_path_shows_its_pivots() -> None:
    found = json_of("lead", "C", "Ebm", "--steps", "3", "--by", "3-11")
    assert found["paths"][0]["size"] == 4
    assert len(found["paths"][0]["chords"]) == 4
    across = json_of("lead", "C E G", "F# A# C#", "--steps", "4", "--by", "3-11", "--family", "spaced")
    assert any(path["pivots"] for path in across["paths"])


def test_a_line_of_chords_becomes_notation_that_reads_back(tmp_path: Path) -> None:
    place = tmp_path / "line.musicxml"
    done = run("lead", "Dm7; G7; Cmaj7", "--limit", "1", "--out", str(place))
    assert done.returncode == 0, done.stderr
    assert str(place) in done.stdout
    heard = json_of("hear", str(place), "--out", str(tmp_path / "line.wav"))
    assert heard["sound"]["duration_s"] > 5


def test_a_melody_is_harmonised_and_scored_out(tmp_path: Path) -> None:
    place = tmp_path / "quartet.musicxml"
    tune = "C5 D5 Eb5:2 D5:2"
    done = run(
        "harmonise",
        tune,
        "--with",
        "3-11",
        "--inside",
        "C harmonic minor",
        "--for",
        "string quartet",
        "-o",
        str(place),
    )
    assert done.returncode == 0, done.stderr
    assert place.read_bytes().count(b"<score-part ") == 4
    found = json_of("harmonise", tune, "--with", "3-11", "--inside", "C harmonic minor")
    assert all(chord["label"].startswith("3-11") for chord in found["answers"][0]["chords"])


def test_a_melody_from_a_score(tmp_path: Path) -> None:
    song = str(PIECES / "1-saffron-evening.musicxml")
    found = json_of(
        "harmonise", song, "--bars", "3-4", "--with", "3-11", "--with", "4-19", "--inside", "D double harmonic"
    )
    assert found["answers"]
    done = run("harmonise", "C5 D5")
    assert done.returncode == 2
    assert "no chords to choose from" in done.stderr


def test_hear_a_line_of_chords_on_another_instrument(tmp_path: Path) -> None:
    found = json_of("hear", "Dm7; G7; C", "--instrument", "violin", "--out", str(tmp_path / "x.wav"))
    assert found["sound"]["duration_s"] > 3
    done = run("hear", "C E G", "--instrument", "kazoo", "--out", str(tmp_path / "y.wav"))
    assert (done.returncode, "no instrument 'kazoo'" in done.stderr) == (2, True)


def test_a_passage_of_a_score_is_reharmonised_over_its_bass() -> None:
    song = str(PIECES / "1-saffron-evening.musicxml")
    words = ("--family", "spaced", "--keep-bass", "--rhythm", "3 3", "--foreign", "0.7", "--limit", "1")
    found = json_of("harmonise", song, "--bars", "3-4", *words)
    assert found["answers"][0]["chords"][0]["pitches"][0] == 50
    assert run("harmonise", "C5 D5", "--with", "3-11", "--keep-bass").returncode == 2


def test_a_line_goes_on_in_its_manner() -> None:
    done = run("lead", "C; F", "--carry-on", "2", "--by", "3-11", "--inside", "C major", "--limit", "1")
    assert done.returncode == 0, done.stderr
    assert len(done.stdout.splitlines()) == 5
    assert "no chords to go on with" in run("lead", "C; F", "--carry-on", "2").stderr


WELL = str(PIECES / "3-the-well.musicxml")


def test_trace_names_the_collections_and_draws_them(tmp_path: Path) -> None:
    place = tmp_path / "ribbon.svg"
    done = run("trace", WELL, "--family", "double-harmonic", "--out", str(place))
    assert "bars 9–17: G double harmonic" in done.stdout
    assert place.read_text(encoding="utf-8").startswith("<svg")
    spans = json_of("trace", WELL, "--family", "double-harmonic")["spans"]
    assert [span["bars"] for span in spans] == [["1", "8"], ["9", "17"], ["18", "28"]]


def test_scape_lists_classes_answers_for_bars_and_draws(tmp_path: Path) -> None:
    place = tmp_path / "scape.png"
    found = json_of("scape", WELL, "--bars", "9-17")
    assert found["segment"]["label"] == "7-22"
    assert sum(row["segments"] for row in found["classes"]) == pytest.approx(1, abs=1e-3)
    assert run("scape", WELL, "--like", "7-22", "--out", str(place)).returncode == 0
    assert place.read_bytes()[1:4] == b"PNG"
    assert "no picture" in run("scape", WELL, "--out", "x.doc").stderr


def test_here_gives_all_readings_of_some_bars() -> None:
    found = json_of("here", WELL, "10-12")
    assert found["whole"]["label"] == "7-22"
    assert found["verticals"]
    assert found["collections"]
    assert "Collections that hold it" in run("here", WELL, "10-12").stdout.replace("\n", " ")
    assert "has no bar 99" in run("here", WELL, "99").stderr


def test_read_says_what_a_file_holds() -> None:
    assert json_of("read", WELL)["title"] == "The Well"
    assert run("read", "nowhere.xml").returncode == 2


def test_a_shelf_is_filled_listed_and_emptied(tmp_path: Path) -> None:
    home = str(tmp_path / "shelf")
    assert run("shelf", "add", str(PIECES), "--shelf", home).returncode == 0
    listed = run("shelf", "list", "--shelf", home)
    assert "2,006 notes" in listed.stdout
    assert run("shelf", "check", "--shelf", home).returncode == 0


def test_drills_are_written(tmp_path: Path) -> None:
    done = run("drill", "D double harmonic", "--count", "4", "--seed", "1", "--out", str(tmp_path))
    assert done.returncode == 0, done.stderr
    assert any(path.suffix == ".pdf" for path in tmp_path.rglob("*"))


def test_lesson_check_prints_what_is_false_like_a_linter(tmp_path: Path) -> None:
    page = tmp_path / "one.md"
    page.write_text("# One\n\n5-22 is inside 7-22 three times.\n\n5-22 is inside 7-22 twice.\n", encoding="utf-8")
    done = run("lesson", "check", str(page))
    assert done.returncode == 1
    assert done.stdout == f"{page}:3: false: '5-22 is inside 7-22 three times'; 7-22 holds 5-22 twice\n"
    assert "1 true, 1 false, 0 not understood" in done.stderr
    assert "understood as: <5-22> is inside <7-22> twice" in run("lesson", "check", "--all", str(page)).stdout
    refused = run("lesson", "build", str(page))
    assert (refused.returncode, refused.stdout) == (2, "")
    assert "Line 3: " in refused.stderr
    built = run("lesson", "build", "--allow-false", "--form", "html", str(page))
    assert built.returncode == 0
    assert "line 3: false: " in " ".join(built.stderr.split())


def test_lesson_check_has_stable_keys_and_status_0_where_nothing_is_false(tmp_path: Path) -> None:
    page = tmp_path / "one.md"
    page.write_text("5-22 is inside 7-22 twice.\n", encoding="utf-8")
    found = json_of("lesson", "check", str(page))
    assert (found["true"], found["false"], found["not_understood"]) == (1, 0, 0)
    assert found["statements"][0]["line"] == 1
    assert run("lesson", "check", str(tmp_path / "nowhere.md")).returncode == 2


def test_a_typed_bass_is_the_bass() -> None:
    found = json_of("name", "Dm7/G")["readings"]
    assert "Dm7/G" in [reading["symbol"] for reading in found]
    assert json_of("name", "C/E")["readings"][0]["symbol"] == "C/E"
    assert json_of("name", "E3 C4 G4")["readings"][0]["symbol"] == "C/E"


def test_a_misspelt_instrument_is_said_before_the_work() -> None:
    done = run("harmonise", "C5 D5", "--with", "3-11", "--for", "kazoo band")
    assert (done.returncode, done.stdout) == (2, "")


@pytest.mark.parametrize("what", ["C chromatic", "Gb phrygian", "C Messiaen mode 3", "Ab over C7"])
def test_every_sheet_fits_80_columns(what: str) -> None:
    for command in ("survey", "near"):
        assert max(map(len, run(command, what).stdout.splitlines())) <= 80
