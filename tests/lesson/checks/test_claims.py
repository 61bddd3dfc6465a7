"""The corpus of true and false statements is judged rightly where it is understood; the manual says how often."""

from __future__ import annotations

from collections.abc import Callable
from pathlib import Path

import pytest

from sonorarium.lesson.checks.checking import check_file, check_text
from sonorarium.lesson.checks.claims import FORMS, check_claim, grammar_page
from sonorarium.lesson.checks.terms import Setting
from sonorarium.lesson.checks.verdicts import Standing
from sonorarium.study.folder import open_study

ROOT = Path(__file__).parents[3]
CLAIMS = Path(__file__).parent / "claims"
DEMO = open_study(ROOT / "demo")


def corpus(name: str) -> list[tuple[str, str]]:
    lines = (CLAIMS / f"{name}.csv").read_text(encoding="utf-8").splitlines()
    rows = [tuple(line.split("|")) for line in lines if not line.startswith("#")]
    return [(kind, statement) for kind, statement in rows]


def standing(statement: str) -> Standing:
    """What the check of a page that holds nothing else comes to."""
    found = {checked.standing for checked in check_text(statement + "\n", DEMO)}
    if "false" in found:
        return "false"
    return "true" if found == {"true"} else "not understood"


def judged(name: str) -> list[tuple[str, str, Standing]]:
    return [(kind, statement, standing(statement)) for kind, statement in corpus(name)]


@pytest.mark.parametrize("name", ["true", "false"])
def test_the_corpus_is_judged_rightly_where_it_is_understood(
    name: str, record_property: Callable[[str, object], None]
) -> None:
    found = judged(name)
    wrong = [(said, verdict) for _, said, verdict in found if verdict not in (name, "not understood")]
    assert len(found) == len(set(found)) == 200
    assert wrong == []
    understood = sum(verdict == name for _, _, verdict in found)
    prose = [verdict for kind, _, verdict in found if kind == "prose"]
    record_property(f"share understood, {name}", understood / len(found))
    print(f"{name}: {understood} of 200 understood; of the prose, {prose.count(verdict_of(name))} of {len(prose)}")
    assert f"{understood} of the {name}" in grammar_page().replace("\n", " ")
    assert f"{prose.count(verdict_of(name))} of the {name}" in grammar_page().replace("\n", " ")
    assert f"{len(prose)} pairs" in grammar_page()


def verdict_of(name: str) -> Standing:
    return "true" if name == "true" else "false"


def test_each_false_statement_differs_from_a_true_one() -> None:
    assert not set(corpus("true")) & set(corpus("false"))


@pytest.mark.parametrize(("kind", "example"), [(form.kind, e) for form in FORMS for e in form.examples])
def test_every_example_of_the_grammar_is_true_and_has_its_form(kind: str, example: str) -> None:
    verdict = check_claim(example, Setting(DEMO))
    assert (verdict.standing, verdict.kind) == ("true", kind)


def test_every_form_has_an_example_and_a_kind_of_its_own() -> None:
    assert all(form.examples for form in FORMS)
    assert len({form.kind for form in FORMS}) == len(FORMS)


def test_the_manual_is_fresh_and_states_nothing_false() -> None:
    page = ROOT / "docs" / "claims.md"
    assert page.read_text(encoding="utf-8") == grammar_page()
    assert [one.sentence for one in check_file(page, DEMO) if one.standing == "false"] == []


@pytest.mark.parametrize(
    ("statement", "truth"),
    [
        ("5-22 is inside 7-22 three times", "7-22 holds 5-22 twice"),
        ("6-10 and 6-39 are partners", "the class is written 6-Z10"),
        ("5-22A is inside 7-22", "there is no class 5-22A: 5-22 is its own mirror and has no A and B"),
        ("the prime form of 5-20 is [01378]", "the prime form of 5-20 is [01568]; [01378] is Forte's"),
        ("C E Ab B is 4-19A", "C E A♭ B is 4-19B"),
        ("Cmaj7 is inside A harmonic minor major", "no form of statement fits"),
    ],
)
def test_what_is_true_is_said(statement: str, truth: str) -> None:
    assert check_claim(statement).truth == truth
