"""Sonorarium: a workbench for mastering one scale, or a family of scales.

What is exported here is small and stable; everything else is found by layer. Names are loaded on first use, so that a
question about a set does not wait for what reads scores.
"""

from __future__ import annotations

import sys
from importlib import import_module
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from sonorarium.errors import SonorariumError as SonorariumError
    from sonorarium.pcs.collection import Collection as Collection
    from sonorarium.pcs.pcset import PcSet as PcSet
    from sonorarium.pcs.reading import read_set as read_set
    from sonorarium.pcs.setclass import SetClass as SetClass
    from sonorarium.pitch.leading import lead as lead
    from sonorarium.pitch.voicings import voicings as voicings
    from sonorarium.score.analysis.tracing import trace as trace
    from sonorarium.score.reading import read_score as read_score
    from sonorarium.score.search.finding import find as find

_HOME = {
    "Collection": "pcs.collection",
    "PcSet": "pcs.pcset",
    "SetClass": "pcs.setclass",
    "SonorariumError": "errors",
    "find": "score.search.finding",
    "lead": "pitch.leading",
    "read_score": "score.reading",
    "read_set": "pcs.reading",
    "trace": "score.analysis.tracing",
    "voicings": "pitch.voicings",
}

__all__ = [
    "Collection",
    "PcSet",
    "SetClass",
    "SonorariumError",
    "find",
    "lead",
    "read_score",
    "read_set",
    "trace",
    "voicings",
]


def __getattr__(name: str) -> object:
    if name not in _HOME:
        raise AttributeError(f"module 'sonorarium' has no attribute {name!r}")
    return getattr(import_module(f"sonorarium.{_HOME[name]}"), name)


def __dir__() -> list[str]:
    return __all__


if "IPython" in sys.modules:
    import_module("sonorarium.render.notebook").register()
