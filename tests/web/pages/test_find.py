"""The page answers."""

from __future__ import annotations

from starlette.testclient import TestClient


def test_it_answers(client: TestClient) -> None:
    assert client.get("/find").status_code == 200
