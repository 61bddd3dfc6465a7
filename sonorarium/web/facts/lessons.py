"""Lessons while they are being written: texts and their digests, drafts drawn, what can be put in, what was made.

A draft is never a file: it is read, checked and drawn from the text alone, and what is stored stays as it was until
somebody saves. Files are named by their stem, and looked up among those that are there; a name is never joined to a
path, so none can lead out of the study.
"""

from __future__ import annotations

import base64
import hashlib
import re
from dataclasses import dataclass
from pathlib import Path

from sonorarium.errors import InputError, NothingFoundError, SonorariumError
from sonorarium.files import write_whole
from sonorarium.lesson.checks.checking import Checked, check_text
from sonorarium.lesson.courses.ledger import Entry, Ledger, read_entry
from sonorarium.lesson.directives import make
from sonorarium.lesson.forms.exports import labelled
from sonorarium.lesson.forms.webpage import html_page
from sonorarium.lesson.illustrations.blocks import Made
from sonorarium.lesson.markdown import read_page
from sonorarium.lesson.roles import set_roles
from sonorarium.study.card import stem_of
from sonorarium.study.drawer import free_name
from sonorarium.study.folder import Study
from sonorarium.study.locking import writing

MADE = "made"
"""Folder of the study in which built lessons and courses lie."""

MADE_KINDS = {".html": "text/html", ".pdf": "application/pdf", ".json": "application/json"}
SANDBOX = "sandbox allow-scripts allow-downloads allow-modals"
"""Modals are for printing."""

PLACE = Path(__file__).parents[1] / "static" / "place.js"
_LINE = re.compile(r"\bline (\d+)", re.IGNORECASE)
_HASH = re.compile(r"'sha256-[A-Za-z0-9+/]{43}='")


@dataclass(frozen=True)
class Fault:
    """What stands in the way of drawing, and the line it stands on; 0 where it has none."""

    line: int
    sentence: str


@dataclass(frozen=True)
class Draft:
    """A text, drawn and checked.

    Parameters
    ----------
    page : str
        The HTML document; empty where the text could not be drawn at all.
    checked : tuple of Checked
    faults : tuple of Fault
        Directives that could not be made; the page is drawn without them.
    """

    page: str
    checked: tuple[Checked, ...] = ()
    faults: tuple[Fault, ...] = ()


def digest_of(data: bytes) -> str:
    """The digest by which a change of the file is noticed."""
    return hashlib.sha256(data).hexdigest()


def find_lesson(study: Study, name: str) -> Path:
    """The file of a lesson by its stem; raises `NothingFoundError` where the study has none."""
    for path in study.lessons():
        if path.stem == name:
            return path
    known = ", ".join(path.stem for path in study.lessons()[:6])
    raise NothingFoundError(
        f"The study has no lesson {name!r}.", value=name, suggestion=f"It has: {known}." if known else "Begin one."
    )


def read_text(path: Path) -> tuple[str, str]:
    """The text of a lesson and its digest; raises `InputError` where it cannot be read."""
    try:
        data = path.read_bytes()
        return data.decode("utf-8").replace("\r\n", "\n"), digest_of(data)
    except (OSError, UnicodeDecodeError) as error:
        reason = error.strerror if isinstance(error, OSError) else "it is not UTF-8 text"
        raise InputError(f"The lesson {path.name} could not be read: {reason}.", value=path.name) from error


def save_lesson(study: Study, name: str, text: str, digest: str) -> str:
    """Write a lesson, if its file is still the one that was loaded.

    Parameters
    ----------
    study : Study
    name : str
        Its stem.
    text : str
    digest : str
        Of the file, as it was loaded.

    Returns
    -------
    str
        The digest of the file as it is now.

    Raises
    ------
    InputError
        Where the file has been changed meanwhile, or cannot be written; nothing is written then.
    """
    with writing(study.folder):
        path = find_lesson(study, name)
        there = path.read_bytes()
        if digest_of(there) != digest:
            raise InputError(
                f"{path.name} has been changed by another program since it was loaded; nothing was written.",
                value=name,
                suggestion="Your words are still here. Load the page again to see the file; they are offered there.",
            )
        plain = text.replace("\r\n", "\n")
        data = (plain.replace("\n", "\r\n") if b"\r\n" in there else plain).encode()
        write_whole(path, data)
    return digest_of(data)


def new_lesson(study: Study, title: str) -> Path:
    """Begin a lesson under a title, in a file of its own; raises `InputError` where the title is empty."""
    words = " ".join(title.split())
    if not words:
        raise InputError("A lesson needs a title.", value=title)
    folder = study.folder / study.lessons_name
    with writing(study.folder):
        place = folder / free_name(folder, stem_of(words), ".md")
        write_whole(place, f"---\ntitle: {words}\n---\n\n".encode())
    return place


def draft_of(text: str, study: Study) -> Draft:
    """Read, check and draw a text; what cannot be made is told with its line, and the rest is drawn all the same."""
    try:
        page = set_roles(read_page(text))
        checked = check_text(text, study)
    except SonorariumError as error:
        return Draft("", (), (fault_of(error),))
    made: dict[int, Made] = {}
    faults: list[Fault] = []
    for directive in page.directives:
        try:
            made[directive.line] = make(directive, study)
        except SonorariumError as error:
            faults.append(Fault(directive.line, str(error)))
            made[directive.line] = Made(())
    return Draft(html_page(page, labelled(page.directives, made)), checked, tuple(faults))


def fault_of(error: SonorariumError) -> Fault:
    """An error with the line that its sentence names.

    >>> fault_of(SonorariumError("Line 7: there is no directive 'scal'."))
    Fault(line=7, sentence="Line 7: there is no directive 'scal'.")
    """
    found = _LINE.search(str(error))
    return Fault(int(found[1]) if found else 0, str(error))


def policy_of(page: str, *, ancestors: str = "'none'") -> str:
    """The policy under which a page made by the program is shown: nothing is fetched, only its own script runs.

    The page may have come with a study from elsewhere, and it is itself that names its script. So it is shown in a
    sandbox: whatever it runs is a stranger to the workbench, and can neither read its pages nor reach its token.

    Parameters
    ----------
    page : str
        HTML; the digest of its script stands in its own policy.
    ancestors : str
        Who may show it inside a page.
    """
    hashes = " ".join(dict.fromkeys(_HASH.findall(page[:4000]))) or "'none'"
    return (
        "default-src 'none'; style-src 'unsafe-inline'; font-src data:; img-src data:; media-src data:; "
        f"script-src {hashes}; base-uri 'none'; form-action 'none'; frame-ancestors {ancestors}; {SANDBOX}"
    )


def movable(page: str) -> str:
    """A page that tells how far it is scrolled, and goes where it is told, so that a redrawn one stays in its place.

    It is shown in a sandbox, out of reach of what is around it; the two can only send each other numbers.
    """
    script = PLACE.read_text(encoding="utf-8")
    digest = base64.b64encode(hashlib.sha256(script.encode()).digest()).decode()
    allowed = page.replace("script-src '", f"script-src 'sha256-{digest}' '", 1)
    head, end, rest = allowed.rpartition("</body>")
    return f"{head}<script>{script}</script>{end}{rest}"


def earlier(study: Study, path: Path) -> tuple[Entry, Ledger]:
    """What a lesson covers, and the ledger of the readable lessons before it; raises `InputError`."""
    before = []
    for other in study.lessons():
        if other == path:
            break
        try:
            before.append(read_entry(other, study))
        except SonorariumError:
            continue  # named where that lesson is opened; it must not hide this one
    return read_entry(path, study), Ledger(tuple(before))


def made_files(study: Study, stem: str = "") -> list[Path]:
    """Files that were made, by name: of one lesson, or all."""
    folder = study.folder / MADE
    found = (path for path in folder.glob("*") if path.name.startswith(stem) and path.suffix in MADE_KINDS)
    return sorted(path for path in found if path.is_file() and path.resolve().is_relative_to(folder.resolve()))


def made_file(study: Study, name: str) -> Path:
    """A file that was made, by its name; raises `NothingFoundError` for every other name."""
    for path in made_files(study):
        if path.name == name:
            return path
    raise NothingFoundError(f"Nothing of the name {name!r} has been made.", value=name, suggestion="Build it first.")
