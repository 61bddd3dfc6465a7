"""The short names that the rows of this folder give to scales."""

from __future__ import annotations

from sonorarium.pcs.families import default_family
from sonorarium.pcs.family import FamilyKind

KINDS: dict[str, FamilyKind] = {
    short: default_family().kind(name)
    for short, name in {
        "DIA": "diatonic",
        "ACO": "acoustic",
        "MEL": "acoustic",
        "HMI": "harmonic minor",
        "HMA": "harmonic major",
        "OCT": "octatonic",
        "HEX": "hexatonic",
        "WT": "whole tone",
    }.items()
}
