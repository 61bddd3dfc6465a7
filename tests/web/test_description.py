"""The API's description is true of both forms: see test_contract.py for requests made from it."""

from __future__ import annotations

from starlette.testclient import TestClient


def test_every_answer_in_json_has_a_page_beside_it(client: TestClient) -> None:
    paths = client.get("/openapi.json").json()["paths"]
    assert "/sheet" in paths
    for methods in paths.values():
        for operation in methods.values():
            for told in operation["responses"].values():
                content = told.get("content", {})
                assert ("application/json" in content) <= ("text/html" in content)


def test_errors_are_described(client: TestClient) -> None:
    refused = client.get("/openapi.json").json()["paths"]["/sheet"]["get"]["responses"]["422"]
    assert refused["content"]["application/json"]["schema"]["$ref"].endswith("/Refusal")
