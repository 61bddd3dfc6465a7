"""Sets outside a family."""

from __future__ import annotations

from bench.composing import Section, compose
from sonorarium.pcs.collection import collection
from sonorarium.pcs.families import default_family
from sonorarium.pcs.pcset import PcSet
from sonorarium.score.analysis.markov import best_path
from sonorarium.score.analysis.segmentation import segment
from sonorarium.score.analysis.strangers import find_strangers, is_stranger
from sonorarium.score.analysis.tracemodel import Evidence, TraceOptions
from sonorarium.score.slices import slice_score

DOUBLE_HARMONIC = collection("D double harmonic").pcset


def strangers_of(section: Section, seed: int) -> tuple[int, ...]:
    piece = compose([section], seed=seed, misprints=4)
    evidence = Evidence(slice_score(piece.score), default_family(), TraceOptions())
    found = segment(best_path(evidence.by_moment, evidence.transitions), evidence)
    return find_strangers(found, evidence)


def test_members_and_their_subsets_and_supersets_are_no_strangers() -> None:
    flags = is_stranger(default_family())
    for member in default_family():
        assert not flags[member.mask]
        assert not flags[(member.pcset - PcSet((member.root.pc,))).mask]
        assert not flags[member.mask | 0xF]
    assert flags[DOUBLE_HARMONIC.mask]


def test_a_scale_that_the_family_lacks_is_found() -> None:
    assert DOUBLE_HARMONIC.mask in strangers_of(Section.of(DOUBLE_HARMONIC, 20), seed=1)


def test_a_piece_in_a_member_has_no_strangers() -> None:
    assert strangers_of(Section.of(collection("A harmonic minor"), 20), seed=2) == ()
