"""A whole study as one archive, out and in.

**Out.** A ZIP file with every file of the study at its place. Hidden files, links and what cannot be read stay out,
and are named. The same study gives the same bytes: entries run by name, with one fixed time. Nothing is written to
the study meanwhile (`sonorarium.study.locking`), so the cards in an archive belong together.

**In.** An archive may come from a stranger. Before anything is unpacked its list is checked: the number of entries,
their sizes and how far they expand are limited; a path that is absolute, leads upward, is hidden, or would be two
files on some system, a link, an entry under a password: each refuses the whole archive with a sentence that names
the entry. Then it is unpacked beside the place, opened as a study, and moved there at once: a crash leaves either no
study or the whole one. The place must be empty or not there: an import never writes over anything.
"""

from __future__ import annotations

import os
import re
import shutil
import stat
import tempfile
import unicodedata
import zipfile
import zlib
from collections.abc import Iterator
from dataclasses import dataclass
from pathlib import Path, PurePosixPath

from sonorarium.errors import DamagedError, InputError
from sonorarium.study.folder import NAME, Study, open_study
from sonorarium.study.locking import NAME as LOCK
from sonorarium.study.locking import writing

MEBIBYTE = 1 << 20
_TIME = (1980, 1, 1, 0, 0, 0)
_CHUNK = 1 << 20
_RESERVED = re.compile(r"(con|prn|aux|nul|com[0-9]|lpt[0-9])(\..*)?", re.IGNORECASE)
"""Names that one family of systems keeps for devices, from memory."""

_STRANGE = re.compile(r'[\x00-\x1f\x7f\\:*?"<>|]|[. ]$')
"""Signs that are not part of a file name on every system."""


@dataclass(frozen=True)
class Limits:
    """How much an archive may ask for.

    Parameters
    ----------
    entries : int
    file_bytes, whole_bytes : int
        Of one file and of all, unpacked.
    ratio : int
        How far a file of more than a mebibyte may expand.
    """

    entries: int = 20_000
    file_bytes: int = 512 * MEBIBYTE
    whole_bytes: int = 4096 * MEBIBYTE
    ratio: int = 250


LIMITS = Limits()


@dataclass(frozen=True)
class Exported:
    """What went into an archive.

    Parameters
    ----------
    place : Path
        The archive.
    files : int
        How many files are in it.
    left_out : tuple of str
        What is not, each by its place in the study with the reason.
    """

    place: Path
    files: int
    left_out: tuple[str, ...]


def export_study(study: Study, place: Path) -> Exported:
    """Write a study as one archive.

    Parameters
    ----------
    study : Study
    place : Path
        The archive; outside the study, or it would hold itself.

    Raises
    ------
    InputError
        Where the place lies inside the study or cannot be written to, or the study is no whole one.
    """
    if place.resolve().is_relative_to(study.folder):
        raise InputError(f"{place} lies inside the study itself.", value=place, suggestion="Choose another folder.")
    open_study(study.folder)
    left_out: list[str] = []
    with writing(study.folder):
        found = list(_walk(study.folder, study.folder, left_out))
        try:
            _pack(study.folder, found, place)
        except OSError as error:
            raise InputError(f"{place} could not be written: {error.strerror}.", value=place) from error
    return Exported(place, len(found), tuple(left_out))


def _pack(folder: Path, found: list[Path], place: Path) -> None:
    """Write an archive under a temporary name beside its place, then move it there."""
    place.parent.mkdir(parents=True, exist_ok=True)
    with tempfile.TemporaryDirectory(dir=place.parent, prefix=f".{place.name}.") as beside:
        new = Path(beside) / place.name
        with new.open("wb") as file, zipfile.ZipFile(file, "w", zipfile.ZIP_DEFLATED) as archive:
            for path in found:
                entry = zipfile.ZipInfo(path.relative_to(folder).as_posix(), _TIME)
                entry.compress_type = zipfile.ZIP_DEFLATED
                entry.create_system, entry.external_attr = 3, (stat.S_IFREG | 0o644) << 16
                archive.writestr(entry, path.read_bytes())
            archive.close()
            file.flush()
            os.fsync(file.fileno())
        new.replace(place)


def _walk(folder: Path, home: Path, left_out: list[str]) -> Iterator[Path]:
    for entry in sorted(os.scandir(folder), key=lambda e: e.name):
        path = Path(entry.path)
        place = path.relative_to(home).as_posix()
        if entry.name == LOCK:
            continue  # of no use to anybody else
        if entry.name.startswith("."):
            left_out.append(f"{place} (hidden)")
        elif entry.is_symlink():
            left_out.append(f"{place} (a link)")
        elif entry.is_dir():
            yield from _walk(path, home, left_out)
        elif complaint := _complaint(place):
            left_out.append(f"{place} ({complaint})")
        elif entry.is_file() and os.access(path, os.R_OK):
            yield path
        else:
            left_out.append(f"{place} (cannot be read)")


def import_study(archive: Path, folder: Path, limits: Limits = LIMITS) -> Study:
    """Unpack a study.

    Parameters
    ----------
    archive : Path
        What `export_study` wrote, or a ZIP file like it. One folder around the whole study is looked through.
    folder : Path
        Where the study shall be; empty, or not there yet.
    limits : Limits

    Raises
    ------
    InputError
        Where the folder holds something, or there is no such archive.
    DamagedError
        Where the archive is damaged or not safe to unpack, or holds no study.
    """
    place = folder.resolve()
    if place.exists() and (not place.is_dir() or any(place.iterdir())):
        raise InputError(
            f"{folder} is not empty, and an import never writes over anything.",
            value=folder,
            suggestion="Import into a new folder, then copy what you want.",
        )
    try:
        with zipfile.ZipFile(archive) as opened:
            return _into_place(opened, place, archive, limits)
    except FileNotFoundError:
        raise InputError(f"There is no file {archive}.", value=archive) from None
    except (zipfile.BadZipFile, zlib.error, EOFError, NotImplementedError) as error:
        raise DamagedError(f"{archive} is no archive that can be read: {error}.", value=archive) from error
    except OSError as error:
        raise InputError(f"{folder} could not be written: {error.strerror}.", value=folder) from error


def _into_place(opened: zipfile.ZipFile, place: Path, archive: Path, limits: Limits) -> Study:
    entries = _checked(opened, archive, limits)
    place.parent.mkdir(parents=True, exist_ok=True)
    beside = Path(tempfile.mkdtemp(dir=place.parent, prefix=f".{place.name}.import-"))
    try:
        for path, entry in entries.items():
            _unpack(opened, entry, beside / path, limits)
        try:
            open_study(beside)
        except InputError as error:
            raise DamagedError(f"{archive}: {error.sentence}", value=archive) from error
        beside.chmod(0o755)
        if place.exists():
            place.rmdir()
        beside.rename(place)
    finally:
        shutil.rmtree(beside, ignore_errors=True)
    return open_study(place)


def _checked(opened: zipfile.ZipFile, archive: Path, limits: Limits) -> dict[str, zipfile.ZipInfo]:
    """Every file of an archive by its place in the study; raises `DamagedError` for anything that is not safe."""
    infos = [info for info in opened.infolist() if not info.is_dir()]
    if len(infos) > limits.entries or sum(info.file_size for info in infos) > limits.whole_bytes:
        raise _refused(archive, f"it holds more than {limits.entries} files or {limits.whole_bytes >> 20} MiB")
    for info in infos:
        if complaint := _complaint(info.orig_filename) or _unsafe(info, limits):
            raise _refused(archive, f"its entry {info.orig_filename!r} is {complaint}")
    names = [info.filename for info in infos]
    around = _around(names)
    places = [name.removeprefix(around) for name in names]
    alike = {unicodedata.normalize("NFC", name).casefold() for name in places}
    folders = {str(parent) for name in alike for parent in PurePosixPath(name).parents}
    if len(alike) < len(places) or alike & folders:
        raise _refused(archive, "it holds two things of one name")
    if NAME not in places:
        raise _refused(archive, f"it holds no {NAME}, so it is no study")
    return dict(zip(places, infos, strict=True))


def _around(names: list[str]) -> str:
    """The one folder around a study that was packed with its folder, with a slash; else nothing."""
    tops = {name.partition("/")[0] for name in names}
    top = f"{next(iter(tops))}/" if len(tops) == 1 else ""
    return top if top and f"{top}{NAME}" in names else ""


def _complaint(name: str) -> str:
    """Why a path is not one that stays inside a folder on every system, or nothing.

    >>> [_complaint(name) for name in ("sets/4-19.md", "../x", "/etc/x", "C:/x", "a/.git/x", "a//b", "nul.md")]
    ['', 'not inside the study', 'not inside the study', 'no name that every system takes', 'hidden', \
'not inside the study', 'no name that every system takes']
    """
    parts = name.split("/")
    if "" in parts or ".." in parts or "." in parts or PurePosixPath(name).is_absolute():
        return "not inside the study"
    if any(part.startswith(".") for part in parts):
        return "hidden"
    if any(_STRANGE.search(part) or _RESERVED.fullmatch(part) for part in parts) or len(name.encode()) > 1000:
        return "no name that every system takes"
    return ""


def _unsafe(info: zipfile.ZipInfo, limits: Limits) -> str:
    kind = stat.S_IFMT(info.external_attr >> 16)
    if kind not in (0, stat.S_IFREG):
        return "no regular file"
    if info.flag_bits & 0x1:
        return "under a password"
    if info.file_size > limits.file_bytes:
        return "too large"
    if info.file_size > MEBIBYTE and info.file_size > limits.ratio * max(info.compress_size, 1):
        return "packed so tightly that it cannot be meant well"
    return ""


def _refused(archive: Path, why: str) -> DamagedError:
    return DamagedError(f"{archive} was not unpacked: {why}.", value=archive)


def _unpack(opened: zipfile.ZipFile, entry: zipfile.ZipInfo, place: Path, limits: Limits) -> None:
    """Write one file; its true size is counted, whatever the list says."""
    place.parent.mkdir(parents=True, exist_ok=True)
    written = 0
    with opened.open(entry) as source, place.open("xb") as target:
        while chunk := source.read(_CHUNK):
            written += len(chunk)
            if written > min(entry.file_size, limits.file_bytes):
                raise zipfile.BadZipFile(f"{entry.filename!r} is larger than it says")
            target.write(chunk)
        target.flush()
        os.fsync(target.fileno())
