"""The engraving process: dying, hanging, answering the same each time."""

from __future__ import annotations

import os
import signal
import sys
import threading
import time
from collections.abc import Iterator

import pytest

from sonorarium.errors import ToolError
from sonorarium.render.notation import Column, scale, write_mei
from sonorarium.render.press import Press, shared_press, text_table
from sonorarium.render.typeface import Face, text_width

NOTATION = write_mei(scale([(0, 0, 4), (2, -1, 4)], ["1", "♭3"]), ("treble",))


@pytest.fixture
def press() -> Iterator[Press]:
    made = Press()
    yield made
    made.close()


def test_same_job_same_bytes(press: Press) -> None:
    first = press.engrave(NOTATION, {})
    press.engrave(
        write_mei((Column(((4, 0, 4),)),), ("bass",)), {"scale": 50, "font": "Bravura", "spacingLinear": 0.9}
    )
    assert press.engrave(NOTATION, {}) == first


def test_two_presses_agree(press: Press) -> None:
    assert press.engrave(NOTATION, {}) == shared_press().engrave(NOTATION, {})


def test_a_dead_process_is_an_error_once_then_replaced(press: Press) -> None:
    press.engrave(NOTATION, {})
    assert press.process_id is not None
    os.kill(press.process_id, signal.SIGKILL)
    time.sleep(0.1)
    assert len(press.engrave(NOTATION, {})) == 1


def test_a_process_that_dies_at_work_is_an_error(press: Press, monkeypatch: pytest.MonkeyPatch) -> None:
    press.engrave(NOTATION, {})
    monkeypatch.setattr("sonorarium.apart.write_message", lambda stream, message: stream.close())
    with pytest.raises(ToolError, match="the process died"):
        press.engrave(NOTATION, {})
    monkeypatch.undo()
    assert len(press.engrave(NOTATION, {})) == 1


def test_a_job_that_takes_too_long_is_given_up() -> None:
    press = Press(time_limit_s=0.001)
    long_piece = write_mei(scale([(0, 0, 4)] * 3000), ("treble",))
    with pytest.raises(ToolError, match=r"longer than 0\.001 seconds"):
        press.engrave(long_piece, {})
    press.time_limit_s = 30.0
    assert len(press.engrave(NOTATION, {})) == 1
    press.close()


def test_what_is_no_notation_is_refused(press: Press) -> None:
    with pytest.raises(ToolError, match="could not read the notation"):
        press.engrave("<nothing/>", {})
    assert len(press.engrave(NOTATION, {})) == 1


def test_threads_share_one_press(press: Press) -> None:
    jobs = [write_mei(scale([(step, 0, 4)]), ("treble",)) for step in range(7)]
    alone = [press.engrave(job, {}) for job in jobs]
    results: dict[int, list[str]] = {}

    def work(index: int) -> None:
        results[index] = press.engrave(jobs[index], {})

    threads = [threading.Thread(target=work, args=(index,)) for index in range(7)]
    for thread in threads:
        thread.start()
    for thread in threads:
        thread.join()
    assert [results[index] for index in range(7)] == alone


def test_closing_ends_the_process() -> None:
    press = Press()
    press.engrave(NOTATION, {})
    process_id = press.process_id
    assert process_id is not None
    press.close()
    assert press.process_id is None
    with pytest.raises(ProcessLookupError):
        os.kill(process_id, 0)


def test_the_engraver_lays_text_out_by_our_widths(press: Press) -> None:
    """A long word pushes the next note away by its width in our font, also where it has accents."""

    def distance(word: str) -> float:
        words = "".join(
            f'<note pname="d" oct="4" dur="4"><verse n="1"><syl>{w}</syl></verse></note>' for w in (word, "x", "x")
        )
        mei = write_mei(scale([(0, 0, 4)]), ("treble",)).replace(
            '<chord dur="1"><note xml:id="n0" pname="c" oct="4"/></chord>', words
        )
        page = press.engrave(mei, {"breaks": "none", "adjustPageWidth": True})[0]
        first, second = (float(text.split('"')[0]) for text in page.split('<text x="')[1:3])
        return second - first

    for short, long in (("mmmmmmmm", "mmmmmmmmmm"), ("éééééééééé", "éééééééééééééé")):
        wider = (text_width(long) - text_width(short)) * 0.405
        assert distance(long) - distance(short) == pytest.approx(wider, abs=3)


def test_text_table_has_every_character_of_the_font() -> None:
    table = text_table(Face(italic=True))
    assert f'c="{ord("ö"):02X}"' in table
    assert f'c="{ord("♭"):02X}"' in table


def test_importing_the_press_does_not_load_the_engraver() -> None:
    import subprocess

    code = "import sys, sonorarium.render.engraving; sys.exit('verovio' in sys.modules or 'typst' in sys.modules)"
    assert subprocess.run([sys.executable, "-c", code], check=False).returncode == 0


def test_threads_that_ask_at_once_get_one_press() -> None:
    """In a fresh process, for here the press is warm and the fonts are open."""
    import subprocess

    code = (
        "import sys\n"
        "from concurrent.futures import ThreadPoolExecutor\n"
        "from sonorarium.render.press import shared_press, text_table\n"
        "from sonorarium.render.typeface import Face, text_outline\n"
        "sys.setswitchinterval(1e-6)\n"
        "with ThreadPoolExecutor(6) as pool:\n"
        "    presses = [pool.submit(shared_press) for _ in range(3)]\n"
        "    others = [pool.submit(text_table, Face()), pool.submit(text_outline, 'scales', Face())]\n"
        "    [other.result() for other in others]\n"
        "    sys.exit(len({id(press.result()) for press in presses}) != 1)\n"
    )
    assert subprocess.run([sys.executable, "-W", "error", "-c", code], check=False).returncode == 0
