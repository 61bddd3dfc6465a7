"""Work under way can be looked at, joined and stopped from any page."""

from __future__ import annotations

import time

from starlette.testclient import TestClient

from sonorarium.web.jobs import Report
from sonorarium.web.room import Room


def endless(report: Report) -> None:
    while True:
        report.say(1, 10, "at <one>")
        time.sleep(0.01)


def test_work_is_shown_and_stopped(client: TestClient, room: Room) -> None:
    job = room.jobs.start("Waiting <for> nothing", endless, link="/there")
    page = client.get(f"/jobs/{job.key}").text
    assert "Waiting &lt;for&gt; nothing" in page
    assert 'hx-trigger="every 250ms"' in page
    assert job.key in client.get("/jobs").text
    assert client.post(f"/jobs/{job.key}/stop").status_code == 200
    for _ in range(200):
        told = client.get(f"/jobs/{job.key}?as=json").json()
        if told["is_over"] if "is_over" in told else told["state"] == "stopped":
            break
        time.sleep(0.01)
    assert told["state"] == "stopped"
    assert "hx-trigger" not in client.get(f"/jobs/{job.key}").text


def test_there_is_no_other_work(client: TestClient) -> None:
    assert client.get("/jobs/none").status_code == 404
    assert client.post("/jobs/none/stop").status_code == 404
