"""Claims: one statement about sets, checked by computation.

The grammar is the sum of the forms of `sonorarium.lesson.checks.identities`, `sonorarium.lesson.checks.members`,
`sonorarium.lesson.checks.contents`, `sonorarium.lesson.checks.kinship` and `sonorarium.lesson.checks.testimony`; each
form carries its examples, and the manual page is made of them (``docs/claims.md``). Under the role ``claim`` a label
that is written wrong makes the statement false; in running text it is reported by itself.
"""

from __future__ import annotations

from sonorarium.lesson.checks import contents, identities, kinship, members, testimony
from sonorarium.lesson.checks.labels import stated_labels
from sonorarium.lesson.checks.statements import Form, weigh
from sonorarium.lesson.checks.terms import Setting
from sonorarium.lesson.checks.verdicts import Verdict

FORMS: tuple[Form, ...] = (*testimony.FORMS, *kinship.FORMS, *identities.FORMS, *members.FORMS, *contents.FORMS)
"""Every form, in the order in which they are tried."""


def check_claim(text: str, setting: Setting | None = None, *, plain: bool = False) -> Verdict:
    """Check one statement.

    Parameters
    ----------
    text : str
        The statement; a full stop at its end is left aside.
    setting : Setting, optional
        What surrounds it.
    plain : bool
        Whether it was found in running text, where labels are checked apart.

    Returns
    -------
    Verdict

    Examples
    --------
    >>> check_claim("5-22 is inside 7-22 twice").standing
    'true'
    >>> check_claim("6-10 and 6-39 are partners").truth
    'the class is written 6-Z10'
    >>> check_claim("The tune goes up").standing
    'not understood'
    """
    statement = text.strip().rstrip(".").strip()
    verdict = weigh(statement, FORMS, setting or Setting())
    if plain:
        return verdict
    wrong = [(typed, truth) for typed, truth in stated_labels(statement) if truth]
    sure = verdict.standing != "not understood" or "no class" in "".join(truth for _, truth in wrong)
    if wrong and sure and verdict.kind not in _OF_SCORES:
        typed, truth = wrong[0]
        return Verdict("false", "label", f"the class label <{typed}>", truth)
    return verdict


_OF_SCORES = {form.kind for form in testimony.FORMS}


_OPENING = """# Claims

Made from the grammar itself; every example is run in the tests. Statements in a lesson are checked:

- the role `claim` holds one statement: ``{claim}`5-22 is inside 7-22 twice` ``. It is shown as it is typed, with the
  signs of notation, and has to be true;
- without any mark, every class label is checked (does it exist, is its Z right, are A and B right), and so is every
  sentence that has one of the forms below.

`sonorarium lesson check FILE...` prints each false statement with its line and what is true; with `--all` also the
true ones, as they were understood, and those about sets that were not understood. Its exit status is 0 where nothing
is false and 1 where something is; 2 where a file could not be read. `sonorarium lesson build` refuses a lesson with a
false statement (exit status 2) unless it is told `--allow-false`, and remarks on those it could not check.

## How statements are read

A sentence is understood only as a whole, clause by clause. What can mean several things counts as understood only
where all meanings lead to the same answer; what asks, supposes, doubts or quotes is not read. What is not understood
is never called false.

A set is written as anywhere else: `D double harmonic`, `Ebmaj7#5`, `C E Ab B`, `4-19B`, `[0148]`, `6-Z10B on G`; also
a scale or chord without a place (`the double harmonic`, `a major triad`), with an article and a noun (`the class
5-22`, `the notes C, E, A♭ and B`), or `the scale`, where the lesson is about one. Numbers may be figures or words.

- Prime forms are Rahn's unless the statement says Forte.
- Two sets at a place meet note by note; in all other cases their classes do.
- "Only", "no sister" and "none" speak of the family that is named, else of the scales without consecutive semitones.
- Evenness is by the sum of chords unless "by degrees" or "by division" is said.
- Many forms may be denied: `7-22 does not hold 5-35`, `4-19 is not the partner of 4-20`.

Measured on 200 true and 200 false statements of the trade (`tests/lesson/checks/claims`): 175 of the true and 177 of
the false ones were understood, and every one of these was judged rightly. Most of them are worded in the forms below;
of the 23 pairs in free prose, 1 of the true and 1 of the false was understood.

## Forms
"""


def grammar_page() -> str:
    """Write the manual of the grammar as Markdown."""
    lines = [_OPENING]
    for form in sorted(FORMS, key=lambda form: form.kind):
        lines += [f"### {form.kind}", "", *(f"- {example}" for example in form.examples), ""]
    return "\n".join(lines)
