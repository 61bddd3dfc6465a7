"""Sounds of a lesson: of a set as a scale, a chord or an arpeggio, and of a piece by its bars."""

from __future__ import annotations

from sonorarium.errors import InputError
from sonorarium.lesson.blocks import Figure, Made
from sonorarium.lesson.markdown import Directive
from sonorarium.pcs.subject import Subject, subject
from sonorarium.pitch.voicing import close_position
from sonorarium.render import midi
from sonorarium.render.sound import Clip, to_audio
from sonorarium.score.reading import read_score
from sonorarium.score.score import Score
from sonorarium.study.folder import SCORE_SUFFIXES, Study

WAYS = ("scale", "chord", "arpeggio")
