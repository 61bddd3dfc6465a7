"""One address, two forms; errors in both; addresses that read back."""

from __future__ import annotations

from urllib.parse import parse_qs, urlsplit

import pytest
from hypothesis import given
from hypothesis import strategies as st
from starlette.testclient import TestClient

from sonorarium.web.answers import address, explained


@pytest.mark.parametrize(
    ("accept", "kind"),
    [
        ("application/json", "application/json"),
        ("text/html,application/xhtml+xml,application/json;q=0.9", "text/html"),
        ("application/json, text/html", "application/json"),
        ("*/*", "text/html"),
        ("", "text/html"),
    ],
)
def test_the_form_is_the_one_asked_for(client: TestClient, accept: str, kind: str) -> None:
    answered = client.get("/look", headers={"accept": accept})
    assert answered.headers["content-type"].startswith(kind)
    assert "Accept" in answered.headers["vary"]


def test_the_address_can_ask_for_the_facts(client: TestClient) -> None:
    assert client.get("/keepings?as=json").json()["of"] == 0
    assert client.get("/keepings?as=xml").status_code == 422


def test_an_error_is_the_same_sentence_in_both_forms(client: TestClient) -> None:
    page = client.get("/sheet?set=<b>D nonesuch</b>")
    told = client.get("/sheet?set=<b>D nonesuch</b>&as=json").json()["error"]
    assert page.status_code == 422
    assert told["sentence"] and told["suggestion"]
    assert "<b>D nonesuch" not in page.text
    assert "&lt;b&gt;D nonesuch" in page.text


def test_an_option_that_is_not_known_is_refused_with_the_nearest(client: TestClient) -> None:
    answered = client.get("/sheet?set=C&famly=spaced&as=json")
    assert answered.status_code == 422
    assert answered.json()["error"]["suggestion"] == "There is: family."


def test_a_page_that_is_not_there(client: TestClient) -> None:
    answered = client.get("/nowhere")
    assert answered.status_code == 404
    assert "There is no such page." in answered.text


@given(st.text(min_size=1))
def test_addresses_read_back(text: str) -> None:
    assert parse_qs(urlsplit(address("/sheet", set=text)).query, keep_blank_values=True)["set"] == [text]


def test_terms_are_explained() -> None:
    assert explained("Complement").startswith("The notes of the twelve")
    assert explained("nonesuch") == ""
