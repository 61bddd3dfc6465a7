"""The style guide shows the tokens with their contrast."""

from __future__ import annotations

from starlette.testclient import TestClient

from sonorarium.web.facts.tokens import look


def test_the_page_and_its_facts_show_every_colour(client: TestClient) -> None:
    page = client.get("/look").text
    told = client.get("/look", headers={"accept": "application/json"}).json()
    assert [one["name"] for one in told["light"]] == [one.name for one in look().light]
    for colour in (*look().light, *look().dark):
        assert colour.value in page
        assert f"{colour.contrast} : 1" in page
