"""What the bars of a score use, and where its passages are; against the figures of demo/PIECES.md."""

from __future__ import annotations

from pathlib import Path

import pytest

from sonorarium.lesson.checks.claims import check_claim
from sonorarium.lesson.checks.terms import Setting
from sonorarium.study.folder import open_study

SETTING = Setting(open_study(Path(__file__).parents[3] / "demo"))


@pytest.mark.parametrize(
    ("statement", "standing"),
    [
        ("bars 1-39 of Saffron Evening use exactly D double harmonic", "true"),
        ("bars 1-39 of Saffron Evening use exactly A double harmonic", "false"),
        ("bars 1 to 32 of pieces/2-bare-feet-on-warm-stone.musicxml are exactly B double harmonic", "true"),
        ("bars 9-12 of Boat without Oars use only notes of F double harmonic", "true"),
        ("bars 8-12 of Boat without Oars use only F double harmonic", "false"),
        ("bars 1-99 of Saffron Evening use exactly D double harmonic", "false"),
        ("bars 1-9 of Nowhere at All use exactly D double harmonic", "not understood"),
        ("bars 1-9 of ../study.xml use exactly D double harmonic", "not understood"),
        ("the best texture of D double harmonic in Saffron Evening is bars 1-39", "true"),
        ("the best texture of 5-15 in pieces/1-saffron-evening.musicxml is bars 26-28", "false"),
        ("Clockwork Moth has no texture of 7-22", "true"),
        ("Clockwork Moth has two textures of 7-22", "false"),
        ("Clockwork Moth has no line of C double harmonic", "true"),
    ],
)
def test_scores_bear_witness(statement: str, standing: str) -> None:
    assert check_claim(statement, SETTING).standing == standing
