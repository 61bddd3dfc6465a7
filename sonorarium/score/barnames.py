"""Bars by the numbers printed in the score, and back.

A printed number may occur twice (first and second endings, the halves of a split bar) or be any text. A range from
one label to another runs from the first bar of the one to the last bar of the other.
"""

from __future__ import annotations

import re

import numpy as np

from sonorarium.errors import InputError
from sonorarium.score.score import Score


def bar_range(score: Score, text: str) -> tuple[int, int]:
    """Find a range of bars by printed labels.

    Parameters
    ----------
    score : Score
    text : str
        ``9``, ``9-12``, ``9–12``, or empty for the whole piece.

    Returns
    -------
    (int, int)
        Indices of the first and the last bar.

    Raises
    ------
    InputError
        Where the score has no such bar, or the range runs backward.
    """
    plain = text.strip()
    if not plain:
        return 0, len(score.bars) - 1
    labels = score.bars["label"]
    if plain in labels:
        first_label = last_label = plain
    else:
        first_label, _, last_label = (part.strip() for part in re.sub("[–—]", "-", plain).partition("-"))
    first, last = _places(score, first_label)[0], _places(score, last_label or first_label)[-1]
    if first > last:
        raise InputError(f"bars {plain} run backward.", value=text, suggestion="Give the earlier bar first.")
    return first, last


def _places(score: Score, label: str) -> list[int]:
    found = np.flatnonzero(score.bars["label"] == label).tolist()
    if not found:
        first, last = score.bars["label"][0], score.bars["label"][-1]
        name = score.title or "The score"
        raise InputError(
            f"{name} has no bar {label}.", value=label, suggestion=f"Its bars are printed {first} to {last}."
        )
    return [int(place) for place in found]


def bars_in_words(score: Score, first_bar: int, last_bar: int) -> str:
    """A range of bars as it is cited: ``bar 9`` or ``bars 9–12``."""
    first, last = score.bars["label"][first_bar], score.bars["label"][last_bar]
    return f"bar {first}" if first_bar == last_bar else f"bars {first}–{last}"
