"""Many at once: two hundred requests together lose nothing and leave the server well."""

from __future__ import annotations

import json
import urllib.request
from concurrent.futures import ThreadPoolExecutor
from urllib.parse import urlencode

from sonorarium.study.remarks import kept_sets
from sonorarium.web.guard import TOKEN_HEADER
from tests.web.conftest import TOKEN, Served

COUNT = 200


def ask(url: str, fields: dict[str, str] | None = None) -> tuple[int, bytes]:
    headers = {"Accept": "application/json", TOKEN_HEADER: TOKEN}
    request = urllib.request.Request(url, urlencode(fields).encode() if fields else None, headers)
    with urllib.request.urlopen(request, timeout=60) as answered:
        return answered.status, answered.read()


def test_two_hundred_at_once(served: Served) -> None:
    def one(number: int) -> tuple[int, bytes]:
        note = ["C", "Db", "D", "Eb", "E", "F", "Gb", "G", "Ab", "A", "Bb", "B"][number % 12]
        if number % 4 == 0:
            return ask(f"{served.url}/keep/set", {"set": f"mask {number + 1}", "words": f"No. {number}."})
        if number % 4 == 1:
            return ask(f"{served.url}/sheet?{urlencode({'set': f'{note} double harmonic'})}")
        if number % 4 == 2:
            return ask(f"{served.url}/sound?{urlencode({'set': f'{note} dorian', 'way': 'chord'})}")
        return ask(f"{served.url}/readings?{urlencode({'text': f'{note}maj7'})}")

    with ThreadPoolExecutor(COUNT) as pool:
        answers = list(pool.map(one, range(COUNT)))
    assert [status for status, _ in answers] == [200] * COUNT
    for number in range(1, COUNT, 4):
        assert json.loads(answers[number][1])["identity"]["label"] == "7-22"
    assert all(body[:4] == b"fLaC" for _, body in answers[2::4])
    words = " ".join(one.words for one in kept_sets(served.room.study).sets)
    assert all(f"No. {number}." in words for number in range(0, COUNT, 4))
    assert ask(f"{served.url}/keepings")[0] == 200
