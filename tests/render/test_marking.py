"""Frames around marked noteheads: joined where they touch, never around an unmarked head."""

from __future__ import annotations

from hypothesis import given
from hypothesis import strategies as st

from sonorarium.render.extent import Box
from sonorarium.render.marking import MARGIN, joined

SPACE = 180


def head(x: int, step: int) -> Box:
    """A notehead at a horizontal place and a staff step (half a space)."""
    return Box(x, step * SPACE / 2, x + 212, step * SPACE / 2 + SPACE)


heads = st.lists(st.builds(head, st.integers(0, 40).map(lambda n: n * 100), st.integers(0, 12)), max_size=12)


def test_seconds_and_thirds_share_a_frame_fifths_do_not() -> None:
    assert len(joined([head(0, 0), head(0, 2)], [])) == 1
    assert len(joined([head(0, 0), head(212, 1)], [])) == 1
    assert len(joined([head(0, 0), head(0, 4)], [])) == 2


def test_an_unmarked_head_between_keeps_frames_apart() -> None:
    assert joined([head(0, 0), head(0, 2)], [head(0, 1)]) == [head(0, 0), head(0, 2)]


@given(heads, heads)
def test_every_marked_head_is_in_one_frame_at_least(marked: list[Box], others: list[Box]) -> None:
    frames = joined(marked, others)
    for box in marked:
        assert any(frame.around(box) == frame for frame in frames)


@given(heads)
def test_without_others_no_two_frames_touch(marked: list[Box]) -> None:
    frames = joined(marked, [])
    for i, first in enumerate(frames):
        for second in frames[i + 1 :]:
            assert not first.grown(MARGIN).meets(second.grown(MARGIN))


@given(heads, heads)
def test_no_joined_frame_meets_an_unmarked_head(marked: list[Box], others: list[Box]) -> None:
    for frame in joined(marked, others):
        if frame not in marked:
            assert not any(frame.meets(other) for other in others)
