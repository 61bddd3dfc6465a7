"""Every address is listed; whatever a person can do has its command."""

from __future__ import annotations

import subprocess
import sys

from starlette.testclient import TestClient

from sonorarium.web.pages.programs import TWINS

PAGES_ALONE = ("/", "/jobs", "/look", "/programs")


def test_every_address_is_listed_with_its_command(client: TestClient) -> None:
    told = client.get("/programs", headers={"accept": "application/json"}).json()
    described = client.get("/openapi.json").json()["paths"]
    assert {one["path"] for one in told} == set(described)
    for one in told:
        assert one["summary"], one
        assert one["command"] or one["path"] in PAGES_ALONE or one["path"].startswith("/jobs/"), one


def test_the_commands_exist() -> None:
    helped = subprocess.run(
        [sys.executable, "-c", "from sonorarium.cli import main; main()", "--help"],
        capture_output=True,
        text=True,
        check=True,
    ).stdout
    for command in TWINS.values():
        assert f" {command.split()[1].rstrip(',')} " in helped, command
