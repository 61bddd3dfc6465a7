"""Strangers are kept out: forged names, foreign origins, changes without the token, bodies without end."""

from __future__ import annotations

import pytest
from starlette.datastructures import Headers
from starlette.testclient import TestClient

from sonorarium.web.guard import TOKEN_HEADER, Gate

TOKEN = "the-token-of-this-test"
OWN = "http://127.0.0.1:8000"
EVIL = "http://evil.example:8000"


@pytest.mark.parametrize("host", ["127.0.0.1:8000", "localhost:8000", "[::1]:8000"])
def test_its_own_names_are_answered(client: TestClient, host: str) -> None:
    assert client.get("/readings?text=C", headers={"host": host}).status_code == 200


@pytest.mark.parametrize(
    "host",
    ["evil.example:8000", "localhost.evil.example:8000", "127.0.0.1", "127.0.0.1:80", "127.0.0.1:8000.evil", ""],
)
def test_a_forged_host_is_refused_even_with_a_matching_origin(client: TestClient, host: str) -> None:
    answered = client.get("/readings?text=C", headers={"host": host, "origin": f"http://{host}"})
    assert answered.status_code == 421
    assert "does not go by that name" in answered.json()["error"]["sentence"]


@pytest.mark.parametrize(
    "origin", [EVIL, "null", "https://127.0.0.1:8000", "http://127.0.0.1:8001", OWN + ".evil", OWN + "/"]
)
def test_a_foreign_origin_is_refused(client: TestClient, origin: str) -> None:
    assert client.get("/readings?text=C", headers={"origin": origin}).status_code == 403
    answered = client.post("/keep/set", data={"set": "4-19"}, headers={"origin": origin})
    assert answered.status_code == 403
    assert "access-control-allow-origin" not in answered.headers


@pytest.mark.parametrize(
    ("name", "first", "second"),
    [("origin", OWN, EVIL), ("sec-fetch-site", "same-origin", "cross-site"), (TOKEN_HEADER, TOKEN, "another")],
)
def test_what_is_said_twice_is_refused(name: str, first: str, second: str) -> None:
    once = {"host": "127.0.0.1:8000", TOKEN_HEADER: TOKEN} | {name: first}
    gate = Gate(8000, TOKEN)
    raw = [(key.lower().encode(), value.encode()) for key, value in once.items()]
    assert gate.objection("GET", Headers(raw=raw)) is None
    refused = gate.objection("GET", Headers(raw=[*raw, (name.lower().encode(), second.encode())]))
    assert refused is not None and refused[0] == 403


def test_a_change_needs_the_token_of_this_run(client: TestClient) -> None:
    for token in ("", "another"):
        answered = client.post("/keep/set", data={"set": "4-19"}, headers={TOKEN_HEADER: token, "origin": OWN})
        assert answered.status_code == 403
        assert "earlier run" in answered.json()["error"]["sentence"]
    assert client.post("/keep/set", data={"set": "4-19"}, headers={"origin": OWN}).status_code == 200


def test_only_a_followed_link_may_come_from_another_site(client: TestClient) -> None:
    link = {"sec-fetch-site": "cross-site", "sec-fetch-mode": "navigate", "sec-fetch-dest": "document"}
    assert client.get("/readings?text=C", headers=link).status_code == 200
    for other in ({"sec-fetch-mode": "no-cors"}, {"sec-fetch-dest": "iframe"}):
        assert client.get("/readings?text=C", headers=link | other).status_code == 403
    assert client.post("/keep/set", data={"set": "4-19"}, headers=link).status_code == 403


def test_a_preflight_gets_nothing(client: TestClient) -> None:
    asked = {"origin": EVIL, "access-control-request-method": "POST"}
    answered = client.options("/keep/set", headers=asked)
    assert answered.status_code == 403
    assert not any(name.startswith("access-control") for name in answered.headers)


def test_a_body_that_is_too_large_is_refused_before_it_is_read(client: TestClient) -> None:
    answered = client.post("/keep/set", content=b"", headers={"content-length": str(1 << 40)})
    assert answered.status_code == 413


def test_every_answer_has_the_policy(client: TestClient) -> None:
    for path in ("/", "/readings?text=C", "/nowhere", "/static/house.css"):
        headers = client.get(path).headers
        assert "'unsafe" not in headers["content-security-policy"]
        assert headers["content-security-policy"].startswith("default-src 'none'")
        assert headers["x-content-type-options"] == "nosniff"
