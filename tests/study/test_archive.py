"""A study goes out and comes in whole; what is not safe is refused before anything is unpacked."""

from __future__ import annotations

import io
import stat
import zipfile
from pathlib import Path

import pytest

from sonorarium.errors import DamagedError, InputError
from sonorarium.study.archive import Limits, export_study, import_study
from sonorarium.study.folder import Study, new_study
from sonorarium.study.remarks import keep_set, kept_sets
from sonorarium.study.watching import look


@pytest.fixture
def study(tmp_path: Path) -> Study:
    made = new_study(tmp_path / "study", "Archived")
    keep_set(made, "5-15", words="Words.")
    (made.folder / "pieces" / "deep" / "er").mkdir(parents=True)
    (made.folder / "pieces" / "deep" / "er" / "Über.musicxml").write_text("<score/>", encoding="utf-8")
    return made


def test_out_and_in_is_the_same_study(study: Study, tmp_path: Path) -> None:
    out = export_study(study, tmp_path / "study.zip")
    assert (out.files, out.left_out) == (3, ())
    again = import_study(out.place, tmp_path / "again")
    assert {k: m.digest for k, m in look(again).marks.items()} == {k: m.digest for k, m in look(study).marks.items()}
    assert again.title == "Archived"
    assert kept_sets(again).sets[0].words == "Words."
    assert [p.name for p in tmp_path.iterdir() if p.name.startswith(".")] == []


def test_the_same_study_gives_the_same_bytes(study: Study, tmp_path: Path) -> None:
    for name in ("one.zip", "two.zip"):
        export_study(study, tmp_path / name)
    assert (tmp_path / "one.zip").read_bytes() == (tmp_path / "two.zip").read_bytes()


def test_what_stays_out_is_named(study: Study, tmp_path: Path) -> None:
    (study.folder / "link.md").symlink_to("/etc/hosts")
    (study.folder / ".git").mkdir()
    (study.folder / "why?.md").write_text("x", encoding="utf-8")
    out = export_study(study, tmp_path / "study.zip")
    assert out.left_out == (".git (hidden)", "link.md (a link)", "why?.md (no name that every system takes)")
    assert out.files == 3
    with pytest.raises(InputError, match="inside the study itself"):
        export_study(study, study.folder / "study.zip")


def test_nothing_is_written_over(study: Study, tmp_path: Path) -> None:
    out = export_study(study, tmp_path / "study.zip")
    with pytest.raises(InputError, match="never writes over anything"):
        import_study(out.place, study.folder)
    (tmp_path / "empty").mkdir()
    assert import_study(out.place, tmp_path / "empty").title == "Archived"


def archive(tmp_path: Path, *names: str | zipfile.ZipInfo, data: bytes = b"x") -> Path:
    place = tmp_path / "hostile.zip"
    with zipfile.ZipFile(place, "w", zipfile.ZIP_DEFLATED) as made:
        made.writestr("study.toml", 'title = "H"\n')
        for name in names:
            made.writestr(name, data, zipfile.ZIP_DEFLATED)
    return place


def link() -> zipfile.ZipInfo:
    info = zipfile.ZipInfo("sets/link.md")
    info.create_system, info.external_attr = 3, (stat.S_IFLNK | 0o777) << 16
    return info


def raw(name: str) -> zipfile.ZipInfo:
    info = zipfile.ZipInfo("x")
    info.filename = info.orig_filename = name
    return info


@pytest.mark.parametrize(
    ("entry", "why"),
    [
        ("../out.md", "not inside the study"),
        ("sets/../../out.md", "not inside the study"),
        ("/tmp/out.md", "not inside the study"),
        ("sets/./x.md", "not inside the study"),
        (raw("sets\\..\\out.md"), "no name that every system takes"),
        (raw("C:/out.md"), "no name that every system takes"),
        ("sets/nul.md", "no name that every system takes"),
        ("sets/x.md.", "no name that every system takes"),
        (".git/hooks/post-checkout", "hidden"),
        (link(), "no regular file"),
        ("STUDY.toml", "two things of one name"),
        ("study.toml/x", "two things of one name"),
    ],
)
def test_paths_are_not_trusted(tmp_path: Path, entry: str | zipfile.ZipInfo, why: str) -> None:
    place = archive(tmp_path, entry)
    with pytest.raises(DamagedError, match=f"was not unpacked: .*{why}"):
        import_study(place, tmp_path / "in" / "study")
    assert [p.name for p in tmp_path.iterdir()] == ["hostile.zip"], "nothing was unpacked"


def test_sizes_are_limited(tmp_path: Path) -> None:
    with pytest.raises(DamagedError, match="packed so tightly"):
        import_study(archive(tmp_path, "bomb.xml", data=bytes(8 << 20)), tmp_path / "study")
    with pytest.raises(DamagedError, match="too large"):
        import_study(archive(tmp_path, "big.xml", data=b"ab" * 600), tmp_path / "study", Limits(file_bytes=1000))
    with pytest.raises(DamagedError, match="more than 1 files"):
        import_study(archive(tmp_path, "a", "b"), tmp_path / "study", Limits(entries=1))


def test_an_entry_that_lies_about_its_size_leaves_nothing(tmp_path: Path) -> None:
    place = archive(tmp_path, "sets/x.md", data=b"y" * 5000)
    data = place.read_bytes()
    size = (5000).to_bytes(4, "little")
    assert data.count(size) == 2
    place.write_bytes(data.replace(size, (40).to_bytes(4, "little")))
    with pytest.raises(DamagedError):
        import_study(place, tmp_path / "study")
    assert [p.name for p in tmp_path.iterdir()] == ["hostile.zip"]


@pytest.mark.parametrize("cut", [0, 10, 100, -1, -30])
def test_a_damaged_archive_is_refused(study: Study, tmp_path: Path, cut: int) -> None:
    place = export_study(study, tmp_path / "study.zip").place
    place.write_bytes(place.read_bytes()[:cut])
    with pytest.raises(DamagedError):
        import_study(place, tmp_path / "again")
    assert not (tmp_path / "again").exists()


def test_no_study_in_it_and_a_study_with_its_folder(tmp_path: Path) -> None:
    place = tmp_path / "a.zip"
    for names, whole in ((("sets/x.md",), False), (("mine/study.toml", "mine/sets/x.md"), True)):
        data = io.BytesIO()
        with zipfile.ZipFile(data, "w") as made:
            for name in names:
                made.writestr(name, 'title = "M"\n')
        place.write_bytes(data.getvalue())
        if whole:
            assert import_study(place, tmp_path / "study").inside("sets/x.md").is_file()
        else:
            with pytest.raises(DamagedError, match=r"holds no study\.toml"):
                import_study(place, tmp_path / "study")


def test_a_study_whose_folders_lead_out_is_refused(tmp_path: Path) -> None:
    place = tmp_path / "a.zip"
    with zipfile.ZipFile(place, "w") as made:
        made.writestr("study.toml", 'lessons = "../.."\n')
    with pytest.raises(DamagedError, match="does not lie inside the study"):
        import_study(place, tmp_path / "study")
    assert not (tmp_path / "study").exists()


def test_there_is_no_such_archive(tmp_path: Path) -> None:
    with pytest.raises(InputError, match="There is no file"):
        import_study(tmp_path / "nowhere.zip", tmp_path / "study")
