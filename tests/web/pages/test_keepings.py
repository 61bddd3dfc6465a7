"""Everything that was kept is found again by its words, its tag and its kind; what has gone is said."""

from __future__ import annotations

import datetime

import pytest
from starlette.testclient import TestClient

from sonorarium.score.reading import read_score
from sonorarium.score.search.finding import find
from sonorarium.score.search.query import Query
from sonorarium.study.keepings import keep_passage
from sonorarium.study.remarks import keep_set
from sonorarium.study.sketches import keep_sketch
from sonorarium.web.pages.keepings import bars_of, keepings_of
from sonorarium.web.room import Room


@pytest.fixture(scope="module", autouse=True)
def kept(room: Room) -> None:
    day = datetime.date(2026, 3, 14)
    keep_set(room.study, "D double harmonic", words="Two seconds that pull <apart>.", tags=["bright"], kept=day)
    keep_set(room.study, "4-19", words="Cool.", kept=datetime.date(2026, 3, 15))
    keep_sketch(room.study, "Opening", sets=["G7", "C"], words="`G7; C`\n\nFor two hands.")
    score = read_score(room.study.pieces()[0])
    best = find(score, Query.of("5-15", kind="texture"))[0]
    keep_passage(room.study, score, best, why="The close.", tags=["cadence", "Bright"], kept=day)


def asked(client: TestClient, **query: str) -> dict[str, object]:
    answered = client.get("/keepings", params=query, headers={"accept": "application/json"})
    assert answered.status_code == 200
    found: dict[str, object] = answered.json()
    return found


def titles(told: dict[str, object]) -> list[str]:
    found = told["found"]
    assert isinstance(found, list)
    return [one["title"] for one in found]


def test_all_is_there_the_latest_first(client: TestClient) -> None:
    told = asked(client)
    assert told["of"] == 4
    assert titles(told)[0] == "4-19"
    assert told["tags"] == {"Bright": 1, "bright": 1, "cadence": 1}
    assert told["unread"] == []


def test_words_tag_and_kind_narrow_it(client: TestClient) -> None:
    assert titles(asked(client, text="pull seconds")) == ["D double harmonic"]
    assert titles(asked(client, text="7-22")) == ["D double harmonic"]
    assert len(titles(asked(client, tag="BRIGHT"))) == 2
    assert titles(asked(client, kind="sketch")) == ["Opening"]
    assert titles(asked(client, text="nowhere")) == []


def test_a_passage_leads_back_to_its_bars(client: TestClient, room: Room) -> None:
    (one,) = keepings_of(room, kind="passage").found
    assert one.standing == "as kept"
    score = read_score(room.study.pieces()[0])
    best = find(score, Query.of("5-15", kind="texture"))[0]
    labels = [str(label) for label in score.bars["label"]]
    first, last = (int(part.split("=")[1]) for part in one.link.split("?")[1].split("&")[1:3])
    assert (labels[first], labels[last]) == best.bars
    assert client.get(one.sound).headers["content-type"] == "audio/flac"


def test_bars_are_those_of_the_time(room: Room) -> None:
    from sonorarium.study.keepings import kept_passages

    (one,) = kept_passages(room.study).passages
    first, last = bars_of(read_score(room.study.pieces()[0]), one)
    assert first <= last


def test_a_sketch_leads_back_to_its_row(room: Room) -> None:
    (one,) = keepings_of(room, kind="sketch").found
    assert one.link == "/sketch?line=G7%3B%20C"


def test_the_page_escapes_words_and_names_lessons(client: TestClient) -> None:
    page = client.get("/keepings").text
    assert "pull &lt;apart&gt;" in page
    assert "Three sisters" in page


def test_a_card_that_cannot_be_read_is_named(client: TestClient, room: Room) -> None:
    card = room.study.folder / room.study.sets_name / "torn.md"
    card.write_text("---\nformat: 1\n", encoding="utf-8")
    told = asked(client)
    assert "torn.md" in str(told["unread"])
    card.unlink()
