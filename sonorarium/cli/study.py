"""``sonorarium study``: what is kept: sets with words and tags, passages, sketches; a whole study in and out."""

from __future__ import annotations

import datetime
from pathlib import Path
from typing import TYPE_CHECKING, Annotated, Any

import typer

from sonorarium.cli.output import Json, console, print_json, remarks

if TYPE_CHECKING:
    from sonorarium.score.score import Score
    from sonorarium.score.search.passage import Passage
    from sonorarium.study.drawer import Unread
    from sonorarium.study.folder import Study
    from sonorarium.study.keepings import KeptPassage
    from sonorarium.study.remarks import KeptSet
    from sonorarium.study.sketches import Sketch

app = typer.Typer(help="What you keep: sets, passages and sketches, with your own words.", no_args_is_help=True)

Where = Annotated[Path, typer.Option("--study", help="The study, or a folder inside it.")]
Tags = Annotated[list[str] | None, typer.Option("--tag", help="A tag; may be given several times.")]
HERE = Path()


@app.callback()
def _group() -> None:
    """What you keep: sets, passages and sketches, with your own words."""


def study_at(where: Path) -> Study:
    """The study in a folder, or around it."""
    from sonorarium.study.folder import NAME, open_study

    place = where.resolve()
    for folder in (place, *place.parents):
        if (folder / NAME).is_file():
            return open_study(folder)
    return open_study(where)


@app.command("new")
def new_command(
    folder: Annotated[Path, typer.Argument(help="Folder; made where it is missing.")],
    title: Annotated[str, typer.Option(help="Title of the study.")] = "",
    author: Annotated[str, typer.Option(help="Whose it is.")] = "",
    as_json: Json = False,
) -> None:
    """Make a study: a folder of plain files that is yours. What lies in the folder already stays."""
    from sonorarium.study.folder import new_study

    made = new_study(folder, title or folder.resolve().name, author)
    if as_json:
        print_json("study", {"folder": str(made.folder), "title": made.title, "author": made.author})
        return
    print(made.folder)


@app.command("keep")
def keep_command(
    what: Annotated[str, typer.Argument(metavar="SET|PIECE", help="A set as you type it, or a score file.")],
    search: Annotated[str, typer.Option("--set", help="For a piece: the set whose passage is kept.")] = "",
    kind: Annotated[str, typer.Option(help="For a piece: chord, line or texture.")] = "texture",
    rank: Annotated[int, typer.Option(min=1, help="For a piece: which passage, 1 for the best.")] = 1,
    why: Annotated[str, typer.Option(help="Your words on it.")] = "",
    tag: Tags = None,
    study: Where = HERE,
    as_json: Json = False,
) -> None:
    """Keep a set, or the passage of a set in a piece. Keeping it again adds your words and tags."""
    from sonorarium.errors import InputError
    from sonorarium.study.folder import SCORE_SUFFIXES
    from sonorarium.study.keepings import keep_passage
    from sonorarium.study.remarks import keep_set

    home, today = study_at(study), _today()
    if what.lower().endswith(SCORE_SUFFIXES) or Path(what).is_file():
        score, passage = _passage(what, search, kind, rank)
        found = keep_passage(home, score, passage, why=why, tags=tag or (), kept=today)
        _say(found.filed.path, "passage", _passage_row(found), as_json)
        return
    if search:
        raise InputError("--set is for pieces; a set is kept as it is.", value=search)
    kept = keep_set(home, what, words=why, tags=tag or (), kept=today)
    _say(kept.filed.path, "set", _set_row(kept), as_json)


def _today() -> datetime.date:
    return datetime.datetime.now().astimezone().date()


def _passage(path: str, search: str, kind: str, rank: int) -> tuple[Score, Passage]:
    from sonorarium.errors import InputError, NothingFoundError
    from sonorarium.score.reading import read_score
    from sonorarium.score.search.finding import find_best
    from sonorarium.score.search.query import Query

    if not search:
        raise InputError("Say which set the passage shows.", value=path, suggestion="For example: --set 5-15.")
    score = read_score(path)
    best = find_best(score, Query.of(search, kind=kind), rank)
    if len(best.passages) < rank:
        raise NothingFoundError(f"{path} has {best.count} passages of {search} as {kind}.", value=search)
    return score, best.passages[rank - 1]


@app.command("remark")
def remark_command(
    what: Annotated[str, typer.Argument(metavar="SET", help="A set as you type it.")],
    words: Annotated[str, typer.Argument(help="Your words; left out, what you have said before is shown.")] = "",
    tag: Tags = None,
    study: Where = HERE,
    as_json: Json = False,
) -> None:
    """Say how a set sounds; or, without words, read what you have said on it, its notes and its class."""
    from sonorarium.errors import NothingFoundError
    from sonorarium.study.remarks import keep_set, remarks_on

    home = study_at(study)
    if words or tag:
        kept = keep_set(home, what, words=words, tags=tag or (), kept=_today())
        _say(kept.filed.path, "set", _set_row(kept), as_json)
        return
    found = remarks_on(home, what)
    if as_json:
        print_json("remarks", {"sets": [_set_row(one) for one in found]})
        return
    if not found:
        raise NothingFoundError(f"Nothing is kept on {what}.", value=what)
    for one in found:
        _print_set(one, whole=True)


@app.command("sketch")
def sketch_command(
    title: Annotated[str, typer.Argument(help="Its title.")],
    music: Annotated[Path | None, typer.Option(help="A file of music; it is copied into the study.")] = None,
    sets: Annotated[list[str] | None, typer.Option("--set", help="A set it is made of; may be repeated.")] = None,
    words: Annotated[str, typer.Option(help="Your words on it.")] = "",
    study: Where = HERE,
    as_json: Json = False,
) -> None:
    """Keep a sketch, always as a new one."""
    from sonorarium.errors import InputError
    from sonorarium.study.sketches import keep_sketch

    try:
        file = (music.suffix.lower(), music.read_bytes()) if music else None
    except OSError as error:
        raise InputError(f"{music} could not be read: {error.strerror}.", value=music) from error
    kept = keep_sketch(study_at(study), title, music=file, sets=sets or (), words=words, kept=_today())
    _say(kept.filed.path, "sketch", _sketch_row(kept), as_json)


@app.command("take")
def take_command(
    score: Annotated[Path, typer.Argument(help="A score file anywhere.")],
    study: Where = HERE,
    as_json: Json = False,
) -> None:
    """Copy a score into the study's pieces, so that lessons can show it and the study can travel with it."""
    from sonorarium.study.pieces import take_in

    home = study_at(study)
    place = take_in(home, score)
    _say(home.folder / place, "piece", {"piece": place}, as_json)


@app.command("list")
def list_command(
    study: Annotated[Path, typer.Argument(help="The study, or a folder inside it.")] = HERE,
    tag: Annotated[str, typer.Option(help="Only what carries this tag.")] = "",
    as_json: Json = False,
) -> None:
    """List what is kept, and name what could not be read. Passages whose piece has changed or gone are marked."""
    from sonorarium.errors import NothingFoundError
    from sonorarium.study.keepings import kept_passages, standing
    from sonorarium.study.remarks import kept_sets
    from sonorarium.study.sketches import sketches

    home = study_at(study)
    sets, passages = kept_sets(home), kept_passages(home)
    drawn, unread = sketches(home)
    rows: dict[str, list[dict[str, Any]]] = {
        "sets": [_set_row(one) for one in sets.sets],
        "passages": [_passage_row(one) | {"standing": standing(home, one)} for one in passages.passages],
        "sketches": [_sketch_row(one) for one in drawn],
    }
    rows = {name: [row for row in of_kind if _has(row, tag)] for name, of_kind in rows.items()}
    faults = (*sets.unread, *passages.unread, *unread)
    _name(faults)
    if as_json:
        unreadable = [{"file": str(one.path), "reason": one.reason} for one in faults]
        print_json("kept", {"folder": str(home.folder), "title": home.title, "unread": unreadable, **rows})
        return
    if not any(rows.values()):
        raise NothingFoundError(f"Nothing is kept in {home.folder}{f' under the tag {tag}' if tag else ''}.")
    _print_rows(rows)


def _has(row: dict[str, Any], tag: str) -> bool:
    return not tag or tag.casefold() in map(str.casefold, row["tags"])


def _name(unread: tuple[Unread, ...]) -> None:
    for one in unread:
        remarks().print(f"Not read: {one.reason}", soft_wrap=True)


def _print_rows(rows: dict[str, list[dict[str, Any]]]) -> None:
    out = console()
    for row in rows["sets"]:
        out.print(f"{row['set']}{_tags(row)}{_first_line(row['words'])}", soft_wrap=True)
    for row in rows["passages"]:
        state = "" if row["standing"] == "as kept" else f" [{row['standing']}]"
        out.print(
            f"{row['place']}: {row['set']}, {row['passage_kind']}{state}{_tags(row)}{_first_line(row['words'])}",
            soft_wrap=True,
        )
    for row in rows["sketches"]:
        music = f" [{row['music']}]" if row["music"] else ""
        out.print(f"{row['title']}{music}{_tags(row)}{_first_line(row['words'])}", soft_wrap=True)


def _tags(row: dict[str, Any]) -> str:
    return f" ({', '.join(row['tags'])})" if row["tags"] else ""


def _first_line(words: str) -> str:
    return f"\n    {words.splitlines()[0]}" if words else ""


def _print_set(one: KeptSet, *, whole: bool) -> None:
    out = console()
    out.print(f"{one.what}{_tags(_set_row(one))}", soft_wrap=True)
    for line in one.words.splitlines() if whole else ():
        out.print(f"    {line}".rstrip(), soft_wrap=True)


@app.command("export")
def export_command(
    archive: Annotated[Path, typer.Argument(help="The archive to be written, a ZIP file.")],
    study: Where = HERE,
    as_json: Json = False,
) -> None:
    """Write a whole study as one archive. What stays out (hidden files, links) is named."""
    from sonorarium.study.archive import export_study

    out = export_study(study_at(study), archive)
    for left in out.left_out:
        remarks().print(f"Left out: {left}", soft_wrap=True)
    if as_json:
        print_json("archive", {"file": str(out.place), "files": out.files, "left_out": list(out.left_out)})
        return
    print(out.place)


@app.command("import")
def import_command(
    archive: Annotated[Path, typer.Argument(help="What 'study export' wrote, or a ZIP file like it.")],
    folder: Annotated[Path, typer.Argument(help="Where the study shall be: empty, or not there yet.")],
    as_json: Json = False,
) -> None:
    """Unpack a study. An archive that is not safe is refused; nothing is ever written over."""
    from sonorarium.study.archive import import_study

    made = import_study(archive, folder)
    if as_json:
        print_json("study", {"folder": str(made.folder), "title": made.title, "author": made.author})
        return
    print(made.folder)


def _say(path: Path, kind: str, row: dict[str, Any], as_json: bool) -> None:
    if as_json:
        print_json(f"kept {kind}", {"file": str(path), **row})
        return
    print(path)


def _set_row(one: KeptSet) -> dict[str, Any]:
    return {"set": one.what, "tags": list(one.tags), "words": one.words, "kept": one.kept}


def _passage_row(one: KeptPassage) -> dict[str, Any]:
    return {
        "place": one.place,
        "score": one.score,
        "digest": one.digest,
        "set": one.what,
        "pcs": list(one.pcs.pcs),
        "passage_kind": one.kind,
        "bars": list(one.bars),
        "notes": list(one.notes),
        "tags": list(one.tags),
        "words": one.why,
    }


def _sketch_row(one: Sketch) -> dict[str, Any]:
    return {
        "title": one.title,
        "sets": list(one.sets),
        "music": one.music,
        "tags": list(one.tags),
        "words": one.words,
    }
