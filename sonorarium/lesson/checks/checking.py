"""Checking a lesson: every statement of its text, with its line, and what computation says of it.

What is read: paragraphs, headings, lists, table cells and the captions of directives. Statements under the role
``claim`` are taken as they stand; the rest is read by `sonorarium.lesson.checks.recognition`. "The scale" means the
set of the lesson's ``scale``, ``survey`` and ``strips`` directives, where they all name the same one. Code is not
read.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from dataclasses import dataclass
from pathlib import Path

from markdown_it.token import Token

from sonorarium.errors import ClaimError, InputError
from sonorarium.lesson.checks.claims import check_claim
from sonorarium.lesson.checks.recognition import recognise
from sonorarium.lesson.checks.terms import Setting, Term, read_term
from sonorarium.lesson.checks.verdicts import Standing, Verdict
from sonorarium.lesson.markdown import Directive, Page, read_page
from sonorarium.study.folder import Study, study_around

CLAIM = "claim"
"""The role whose text is a statement."""
_OPAQUE = "\N{OBJECT REPLACEMENT CHARACTER}"
_SUBJECTS = ("scale", "survey", "strips")


@dataclass(frozen=True)
class Checked:
    """One statement of a lesson.

    Parameters
    ----------
    line : int
        Where it begins, 1 for the first line of the file.
    text : str
    verdict : Verdict
    marked : bool
        Whether it stands under the role ``claim``.
    """

    line: int
    text: str
    verdict: Verdict
    marked: bool = False

    @property
    def standing(self) -> Standing:
        """``true``, ``false`` or ``not understood``."""
        return self.verdict.standing

    @property
    def sentence(self) -> str:
        """What is said of it, for the author."""
        words = " ".join(self.text.split())
        shown = words if len(words) <= 100 else f"{words[:99].rstrip()}…"
        if self.standing == "not understood":
            return f"not checked: {shown!r} ({self.verdict.truth})"
        return f"{self.standing}: {shown!r}; {self.verdict.truth}"

    def as_dict(self) -> dict[str, object]:
        """Plain values under stable keys."""
        verdict = self.verdict
        return {
            "line": self.line,
            "statement": " ".join(self.text.split()),
            "standing": verdict.standing,
            "kind": verdict.kind,
            "understood": verdict.understood,
            "truth": verdict.truth,
            "marked": self.marked,
        }


def check_text(text: str, study: Study | None = None) -> tuple[Checked, ...]:
    r"""Check the text of a lesson.

    Parameters
    ----------
    text : str
        Markdown.
    study : Study, optional
        Where the scores that it names are found.

    Returns
    -------
    tuple of Checked
        By line.

    Raises
    ------
    InputError
        Where a directive or the head of the lesson is malformed.

    Examples
    --------
    >>> for found in check_text("The class 5-22 is inside 7-22 twice.\n\nIt holds {claim}`7-22 holds 5-35`.\n"):
    ...     print(found.line, found.sentence)
    1 true: 'The class 5-22 is inside 7-22 twice'; 7-22 holds 5-22 twice
    3 false: '7-22 holds 5-35'; 7-22 holds 5-35 not at all
    """
    page = read_page(text)
    setting = Setting(study, _scale_of(page.directives))
    found = [*_of_paragraphs(page, setting), *_of_captions(page, text.splitlines(), setting)]
    return tuple(sorted(found, key=lambda checked: checked.line))


def check_file(path: Path, study: Study | None = None) -> tuple[Checked, ...]:
    """Check a lesson; raises `InputError` where the file cannot be read."""
    try:
        text = path.read_text(encoding="utf-8")
    except (OSError, UnicodeDecodeError) as error:
        reason = error.strerror if isinstance(error, OSError) else "it is not UTF-8 text"
        raise InputError(f"{path} could not be read: {reason}.", value=path) from error
    return check_text(text, study or study_around(path))


def refuse_false(checked: Iterable[Checked]) -> None:
    """Raise `ClaimError` with the first false statement, if there is one."""
    false = [one for one in checked if one.standing == "false"]
    if false:
        first, more = false[0], len(false) - 1
        others = f" {more} more {'are' if more > 1 else 'is'} false." if more else ""
        raise ClaimError(
            f"Line {first.line}: {' '.join(first.text.split())!r} is false: {first.verdict.truth}.{others}",
            value=first.text,
            suggestion="Set it right, or say that false statements are allowed.",
        )


def _scale_of(directives: Iterable[Directive]) -> Term | None:
    """The one set that the lesson is about, where its directives agree on one."""
    named = {directive.argument for directive in directives if directive.name in _SUBJECTS}
    meanings = {term for argument in named for term in read_term(argument)[:1]}
    return meanings.pop() if len(meanings) == 1 and len(named) >= 1 else None


def _of_paragraphs(page: Page, setting: Setting) -> Iterator[Checked]:
    for token in page.tokens:
        if token.type == "inline":
            line = token.map[0] + 1 if token.map else 0
            text, claims = _plain(token)
            for at, claim in claims:
                verdict = check_claim(claim, setting)
                yield Checked(line + text[:at].count("\n"), claim, verdict, marked=True)
            yield from _recognised(text, line, setting)


def _plain(token: Token) -> tuple[str, list[tuple[int, str]]]:
    """The words of a paragraph; code and claims are blanked out, and the claims given beside, with their places."""
    parts: list[str] = []
    claims: list[tuple[int, str]] = []
    for child in token.children or ():
        if child.type == "myst_role" and child.meta["name"] == CLAIM:
            claims.append((len("".join(parts)), child.content))
            before = "".join(parts).rstrip()
            # a claim that follows a finished sentence is no part of it, and must not hide it
            parts.append(f"\n\n{_OPAQUE}" if before.endswith((".", "!", "?", ":")) else _OPAQUE)
        elif child.type in ("softbreak", "hardbreak"):
            parts.append("\n")
        else:
            parts.append(_OPAQUE if child.type == "code_inline" else child.content)
    return "".join(parts), claims


def _of_captions(page: Page, lines: list[str], setting: Setting) -> Iterator[Checked]:
    for directive in page.directives:
        if directive.body:
            first = directive.body.splitlines()[0].strip()
            after = range(directive.line, len(lines))
            line = next((at + 1 for at in after if lines[at].strip() == first), directive.line)
            yield from _recognised(directive.body, line, setting)


def _recognised(text: str, line: int, setting: Setting) -> Iterator[Checked]:
    for found in recognise(text, setting, _check):
        blank = found.verdict.standing == "not understood" and _OPAQUE in found.text
        if not blank:
            yield Checked(line + text[: found.start].count("\n"), found.text, found.verdict)


def _check(clause: str, setting: Setting) -> Verdict:
    return check_claim(clause, setting, plain=True)
