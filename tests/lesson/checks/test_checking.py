"""A lesson is checked line by line, and what is false stops the build."""

from __future__ import annotations

from pathlib import Path

import pytest

from sonorarium.errors import ClaimError, InputError
from sonorarium.lesson.building import build_lesson, read_lesson
from sonorarium.lesson.checks.checking import check_file, check_text

LESSON = Path(__file__).parents[3] / "demo" / "lessons" / "1-the-double-harmonic-scale.md"

PAGE = """# The class 6-10

It comes twice,
and 5-22 is inside 7-22 three times.

| class | partner |
|---|---|
| 5-Z17 | The partner of 5-Z17 is 5-Z38. |

- one: {claim}`Eb lydian is a mode of Bb major`
- `5-35 is inside 7-22`

```{scale} D double harmonic
:below: names

The scale is its own mirror around C.
```
"""


def test_lines_of_paragraphs_tables_lists_roles_and_captions() -> None:
    found = [(one.line, one.standing, one.marked) for one in check_text(PAGE)]
    assert found == [
        (1, "false", False),
        (4, "false", False),
        (8, "false", False),
        (10, "true", True),
        (16, "false", False),
    ]


def test_the_demo_lesson_states_nothing_false() -> None:
    found = check_file(LESSON)
    assert [one.sentence for one in found if one.standing == "false"] == []
    assert sum(one.standing == "true" for one in found) == 5
    assert sum(one.marked for one in found) == 2


@pytest.mark.parametrize(
    ("true", "false", "what"),
    [
        ("four of them", "five of them", "4 classes of 5 notes lie in D double harmonic and in no sister"),
        ("Twelve classes", "Eleven classes", "D double harmonic holds 12 classes of 5 notes"),
        ("mode of D double harmonic from G", "mode of D double harmonic from A", "mode 5 of D double harmonic is A"),
        ("around D and around Ab", "around D and around A", "around D, A♭"),
        ("{set}`5-Z17` is found", "{set}`5-Z38` is found", "harmonic minor holds 5-Z38"),
    ],
)
def test_a_slip_put_into_a_copy_of_the_demo_is_caught(tmp_path: Path, true: str, false: str, what: str) -> None:
    text = LESSON.read_text(encoding="utf-8")
    assert true in text
    if "5-Z38" in false:
        false = false.replace("5-Z38", "5-35")
        what = "harmonic minor holds 5-35 not at all"
    copy = tmp_path / "copy.md"
    copy.write_text(text.replace(true, false), encoding="utf-8")
    wrong = [one.sentence for one in check_file(copy) if one.standing == "false"]
    assert len(wrong) == 1
    assert what in wrong[0]


def test_building_refuses_what_is_false_and_remarks_on_what_is_not_proved(tmp_path: Path) -> None:
    page = tmp_path / "one.md"
    page.write_text("One\n\n5-22 is inside 7-22 three times.\n\n5-22 has a place in 7-22.\n", encoding="utf-8")
    with pytest.raises(
        ClaimError, match=r"Line 3: '5-22 is inside 7-22 three times' is false: 7-22 holds 5-22 twice\."
    ):
        read_lesson(page)
    lesson = read_lesson(page, allow_false=True)
    assert lesson.remarks[0].startswith("line 3: false: '5-22 is inside 7-22 three times'")
    assert lesson.remarks[1].startswith("line 5: not checked: '5-22 has a place in 7-22.'")
    (made,) = build_lesson(lesson, tmp_path / "made", forms=("html",))
    assert "three times" in made.read_text(encoding="utf-8")


def test_the_claim_role_reads_as_running_text(tmp_path: Path) -> None:
    page = tmp_path / "one.md"
    page.write_text("Here {claim}`D double harmonic has the note Eb`, see.\n", encoding="utf-8")
    (made,) = build_lesson(read_lesson(page), tmp_path / "made", forms=("html",))
    assert "Here D double harmonic has the note E♭, see." in made.read_text(encoding="utf-8")


def test_a_file_that_cannot_be_read_is_one_clear_sentence(tmp_path: Path) -> None:
    with pytest.raises(InputError, match=r"nowhere\.md could not be read: No such file"):
        check_file(tmp_path / "nowhere.md")


def test_plain_values_have_stable_keys() -> None:
    (one,) = check_text("The class 5-22 is inside 7-22.\n")
    assert set(one.as_dict()) == {"line", "statement", "standing", "kind", "understood", "truth", "marked"}


def test_a_sentence_before_a_claim_is_not_hidden_by_it(tmp_path: Path) -> None:
    page = tmp_path / "one.md"
    page.write_text("F melodic minor has three tritones. {claim}`7-34 is 7-34`.\n", encoding="utf-8")
    assert sorted(one.standing for one in check_file(page)) == ["false", "true"]
