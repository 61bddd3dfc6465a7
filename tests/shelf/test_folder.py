import json
import multiprocessing
import os
import shutil
import signal
import subprocess
import sys
import textwrap
from dataclasses import replace
from pathlib import Path

import music21
import pytest

from sonorarium.errors import InputError
from sonorarium.score.reading import read_score
from sonorarium.score.search.chain import Chain
from sonorarium.score.search.chaining import find_chains
from sonorarium.score.search.finding import find, find_best
from sonorarium.score.search.listing import By, Listing
from sonorarium.score.search.query import Query
from sonorarium.shelf import folder
from sonorarium.shelf.folder import FolderResult, Unsearched, score_files, search_folder, search_nearest
from tests.shelf.deadly import search_or_die

CORPUS = Path(music21.__file__).parent / "corpus"
CHORALES = [CORPUS / f"bach/bwv{number}.mxl" for number in ("60.5", "66.6", "248.42-4")]
OP_19 = CORPUS / "schoenberg/opus19"
QUERY = Query.of("4-19")


@pytest.fixture
def shelf(tmp_path: Path) -> Path:
    """Twenty files in two folders, beside things that are no scores."""
    for i in range(20):
        target = tmp_path / ("a" if i % 2 else "b/c") / f"{i:02}.mxl"
        target.parent.mkdir(parents=True, exist_ok=True)
        shutil.copy(CHORALES[i % 3], target)
    (tmp_path / "a/notes.txt").write_text("no score")
    (tmp_path / ".hidden").mkdir()
    shutil.copy(CHORALES[0], tmp_path / ".hidden/x.mxl")
    return tmp_path


def test_folders_are_searched_to_any_depth(shelf: Path) -> None:
    files = score_files([shelf / "b", shelf, shelf / "a/notes.txt", shelf / "a/01.mxl"])
    assert [f.name for f in files[:10]] == [f"{i:02}.mxl" for i in range(0, 20, 2)]
    assert [f.name for f in files[10:]] == [*(f"{i:02}.mxl" for i in range(1, 20, 2)), "notes.txt"]
    with pytest.raises(InputError, match=r"There is no file or folder .*nowhere\."):
        score_files([shelf / "nowhere"])


def test_the_best_over_all_files_come_first() -> None:
    result = search_folder([*CHORALES, OP_19], QUERY, limit=None)
    files = score_files([*CHORALES, OP_19])
    every = [p for path in files for p in find(read_score(path), QUERY)]
    assert list(result.passages) == sorted(every, key=lambda p: p.rank)
    assert (result.count, result.is_cut, result.files) == (len(every), False, len(files))
    assert result.files_with == len({p.source.path for p in every})
    assert result.unsearched == ()


def test_a_limit_cuts_and_says_so() -> None:
    every = search_folder(CHORALES, Query.of("3-11"), limit=None)
    result = search_folder(CHORALES, Query.of("3-11"), limit=5)
    assert result.passages == every.passages[:5]
    assert result.is_cut
    assert result.count == every.count > 5


def test_workers_find_what_one_process_finds(shelf: Path) -> None:
    seen: list[tuple[int, int]] = []
    alone = search_folder([shelf], QUERY, limit=7, jobs=1)
    shared = search_folder([shelf], QUERY, limit=7, jobs=2, progress=lambda done, of: seen.append((done, of)))
    assert shared == alone
    assert shared.files == 20
    assert [done for done, _ in seen] == sorted(done for done, _ in seen)
    assert seen[-1] == (20, 20)


def test_a_bad_file_is_named_and_the_others_are_searched(tmp_path: Path) -> None:
    shutil.copy(CHORALES[0], tmp_path / "good.mxl")
    (tmp_path / "broken.mxl").write_bytes(CHORALES[0].read_bytes()[:500])
    (tmp_path / "letter.xml").write_text("<letter>Dear all</letter>")
    (tmp_path / "empty.musicxml").write_bytes(b"")
    result = search_folder([tmp_path], Query.of("3-11"))
    assert (result.files, result.files_with) == (1, 1)
    assert [Path(one.path).name for one in result.unsearched] == ["broken.mxl", "empty.musicxml", "letter.xml"]
    for one in result.unsearched:
        assert Path(one.path).name in one.reason
        assert one.reason.endswith(".")


def test_a_file_without_the_parts_asked_for_is_named(tmp_path: Path) -> None:
    result = search_folder([CHORALES[0], OP_19 / "movement6.mxl"], Query.of("3-7", parts=["Soprano"]))
    assert (result.files, len(result.unsearched)) == (1, 1)
    assert "no part named 'Soprano'" in result.unsearched[0].reason


def test_an_unforeseen_fault_loses_one_file_only(monkeypatch: pytest.MonkeyPatch) -> None:
    def fail_on_one(path: str) -> object:
        if path.endswith("66.6.mxl"):
            raise ZeroDivisionError("a bar of no length")
        return read_score(path)

    monkeypatch.setattr(folder, "read_score", fail_on_one)
    result = search_folder(CHORALES, QUERY)
    assert result.files == 2
    assert result.unsearched[0].reason.endswith("not foreseen (ZeroDivisionError: a bar of no length).")


def test_the_death_of_a_worker_loses_one_file_only(shelf: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    for name in ("a/deadly.mxl", "b/deadly.mxl"):
        shutil.copy(CHORALES[0], shelf / name)
    monkeypatch.setattr(folder, "_search", search_or_die)
    result = search_folder([shelf], QUERY, jobs=2)
    monkeypatch.undo()
    expected = [Unsearched(str(shelf / f"{f}/deadly.mxl"), "The process that read it died.") for f in "ab"]
    assert list(result.unsearched) == expected
    others = [f for f in score_files([shelf]) if "deadly" not in f.name]
    assert result.passages == search_folder(others, QUERY, jobs=1).passages
    assert result.files == 20


def test_an_interruption_passes_on_and_leaves_no_process(shelf: Path) -> None:
    def interrupt(done: int, of: int) -> None:
        raise KeyboardInterrupt

    with pytest.raises(KeyboardInterrupt):
        search_folder([shelf], QUERY, jobs=2, progress=interrupt)
    assert multiprocessing.active_children() == []


def test_ctrl_c_stops_all_processes_quietly(shelf: Path) -> None:
    script = shelf / "search.py"
    script.write_text(
        textwrap.dedent("""
            import signal
            import sys
            from sonorarium.score.search.query import Query
            from sonorarium.shelf.folder import search_folder

            if __name__ == "__main__":
                signal.signal(signal.SIGINT, signal.default_int_handler)  # a shell's background jobs ignore it
                paths = [sys.argv[1]]
                try:
                    while True:
                        search_folder(paths, Query.of("4-19"), jobs=2, progress=lambda *n: print(n, flush=True))
                except KeyboardInterrupt:
                    print("stopped", flush=True)
        """)
    )
    command = [sys.executable, str(script), str(shelf)]
    environment = os.environ | {"PYTHONPATH": str(Path(folder.__file__).parents[2])}
    with subprocess.Popen(
        command, stdout=subprocess.PIPE, stderr=subprocess.PIPE, text=True, start_new_session=True, env=environment
    ) as process:
        assert process.stdout is not None
        assert process.stdout.readline().endswith("20)\n")
        os.killpg(process.pid, signal.SIGINT)  # as a terminal does: to the search and to its workers
        out, err = process.communicate(timeout=60)  # returns when every process that holds the pipes has ended
    assert out.endswith("stopped\n")
    assert err == ""


@pytest.mark.parametrize("options", [{"limit": 0}, {"jobs": 0}])
def test_numbers_without_meaning_are_refused(options: dict[str, int]) -> None:
    with pytest.raises(InputError, match="must be 1 or more"):
        search_folder(CHORALES, QUERY, **options)  # type: ignore[arg-type]


def test_no_files_give_an_empty_result(tmp_path: Path) -> None:
    assert search_folder([tmp_path], QUERY) == FolderResult()


def test_the_json_form_has_these_keys() -> None:
    result = search_folder(CHORALES, QUERY, limit=2)
    plain = json.loads(json.dumps(result.as_dict()))
    assert list(plain) == [
        *("passages", "count", "is_cut", "folded", "chains", "link_counts"),
        *("files", "files_with", "bars", "notes", "unsearched"),
    ]
    assert plain["passages"] == [p.as_dict() for p in result.passages]


def test_a_row_of_sets_is_searched_for_in_many_files(shelf: Path) -> None:
    chain = Chain.of("3-11 then 3-10 within 2 quarters", kind="chord")
    result = search_folder([shelf], chain, limit=4, jobs=2)
    files = score_files([shelf])
    every = [one for path in files for one in find_chains(read_score(path), chain).chains]
    assert result.chains == tuple(sorted(every, key=lambda one: one.key("salience"))[:4])
    assert (result.count, result.is_cut, result.passages) == (len(every), True, ())
    by_itself = [search_folder([shelf], link, jobs=1).count for link in chain.links]
    assert list(result.link_counts) == by_itself


@pytest.mark.parametrize("by", ["place", "teachability"])
def test_other_orders_hold_over_many_files(shelf: Path, by: By) -> None:
    query = replace(Query.of("3-10", kind="chord"), listing=Listing(by, fold=True))
    result = search_folder([shelf], query, limit=9, jobs=2)
    every = [p for path in score_files([shelf]) for p in find_best(read_score(path), query).passages]
    assert result.passages == tuple(sorted(every, key=lambda one: one.key(by))[:9])
    assert (result.by, result.count - result.folded) == (by, len(every))


def test_how_much_was_searched_is_counted() -> None:
    scores = [read_score(path) for path in CHORALES]
    result = search_folder(CHORALES, QUERY)
    assert result.bars == sum(len(score.bars) for score in scores)
    assert result.notes == sum(len(score.sounding) for score in scores)


def test_what_comes_nearest_is_told() -> None:
    query = Query.of("6-20")  # no chorale is hexatonic
    assert not search_folder(CHORALES, query).count
    nearest = search_nearest(CHORALES, query, limit=3)
    assert len(nearest.passages) == 3
    for passage in nearest.passages:
        assert passage.near
        assert passage.near.semitones == 1
    assert not search_nearest([OP_19 / "movement6.mxl"], Query.of("11-1", kind="chord")).passages
