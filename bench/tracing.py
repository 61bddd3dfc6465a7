"""How well and how fast pieces are traced: ``python -m bench.tracing``; ``--fit`` searches for the model's numbers.

Four tables:

1. generated pieces (`bench.composing`) at several levels of noise: share of the time at which the first reading is
the
   true collection, share that is decided, and how often what is decided is right; some sections are in scales that
   the family lacks, and there none of these is the truth;
2. how far the posterior can be trusted: of all slices with a first reading that is so probable, how many are right;
3. scores with local keys by human analysts (`bench.analyses`): share of the time at which the traced collection has
   the signature of the local key, beside the usual way to find a key: the profiles of Krumhansl and Schmuckler in a
   sliding window, by a general library; and how often the centre is the local tonic;
4. time for 2,000 slices.

Fitted was on generated pieces with other seeds, and on the chorales of even number.
"""

from __future__ import annotations

import argparse
import time
from collections.abc import Iterable, Sequence
from dataclasses import dataclass, replace

import numpy as np
from numpy.typing import NDArray

from bench.analyses import Analysed, chorales, madrigals
from bench.composing import Piece, compose, random_sections
from sonorarium.pcs.families import default_family
from sonorarium.pcs.family import Member
from sonorarium.pcs.familyrule import shapes
from sonorarium.score.analysis.markov import best_path, posteriors
from sonorarium.score.analysis.tracemodel import Evidence, TraceOptions
from sonorarium.score.analysis.tracing import Tracing, trace_score
from sonorarium.score.score import Score
from sonorarium.score.slices import slice_score

NOISE = (0.0, 0.03, 0.06, 0.1, 0.15)
FIT_SEED, TEST_SEED = 100_000, 200_000
STRANGERS = ("double harmonic", "0 1 2 4 5 7 8", "0 1 2 3 6 7 9")
"""Scales that the default family lacks."""


def generated(noise: float, *, count: int, seed: int) -> list[Piece]:
    """Pieces of 5 sections; of seven sections one is in a scale that the family lacks."""
    masks = default_family().masks.tolist()
    strangers = [s.transposed(n).mask for text in STRANGERS for s in shapes(text) for n in range(12)]
    pieces = []
    for i in range(count):
        rng = np.random.default_rng(seed + i)
        stock = masks + rng.choice(strangers, len(masks) // 6).tolist()
        sections = random_sections(stock, rng, count=5)
        pieces.append(compose(sections, seed=seed + i, voices=1 + i % 4, noise=noise))
    return pieces


def true_readings(piece: Piece, tracing: Tracing) -> NDArray[np.intp]:
    """Number of the true reading of each slice."""
    place = {mask: i for i, mask in enumerate(tracing.family.masks.tolist())}
    ends = [end for _, end, _ in piece.truth]
    numbers = np.array([place.get(mask, tracing.evidence.none) for _, _, mask in piece.truth])
    return numbers[np.searchsorted(ends, tracing.slices.onsets, side="right")]


def first_readings(tracing: Tracing) -> NDArray[np.intp]:
    """Number of the first reading of each slice; all that mean none of these have one number."""
    found = tracing.segmentation
    return np.minimum(np.repeat(found.readings, np.diff(found.cuts)), tracing.evidence.none)


def probabilities(tracing: Tracing) -> NDArray[np.float64]:
    """Posterior of each member and of none of these in each slice."""
    told, none = tracing.posteriors, tracing.evidence.none
    return np.column_stack([told[:, :none], told[:, none:].sum(axis=1)])


def by_time(right: NDArray[np.bool_], tracing: Tracing) -> float:
    """Share of the time of the piece at which something is right."""
    return float(np.average(right, weights=tracing.slices.durations))


@dataclass(frozen=True)
class Shares:
    """Shares of the time, 0 to 1."""

    right: float
    decided: float
    right_where_decided: float


def generated_score(pieces: Iterable[Piece]) -> Shares:
    """Accuracy over pieces of known truth, by time."""
    rows = []
    for piece in pieces:
        tracing = trace_score(piece.score)
        right = first_readings(tracing) == true_readings(piece, tracing)
        settled = np.array([span.verdict in ("decided", "none of these") for span in tracing.spans])
        decided = np.repeat(settled, np.diff(tracing.segmentation.cuts))
        rows.append([by_time(flags, tracing) for flags in (right, decided, right & decided)])
    right_all, decided_all, both = np.mean(rows, axis=0)
    return Shares(float(right_all), float(decided_all), float(both / decided_all))


def trust(pieces: Iterable[Piece], edges: Sequence[float]) -> list[tuple[float, float, int]]:
    """For each class of posteriors: their mean, the share that is right, how many slices."""
    told, right = [], []
    for piece in pieces:
        tracing = trace_score(piece.score)
        probable = probabilities(tracing)
        best = probable.argmax(axis=1)
        told.append(probable.max(axis=1))
        right.append(best == true_readings(piece, tracing))
    told_all, right_all = np.concatenate(told), np.concatenate(right)
    classes = np.digitize(told_all, edges)
    return [
        (float(told_all[classes == c].mean()), float(right_all[classes == c].mean()), int((classes == c).sum()))
        for c in range(len(edges) + 1)
        if (classes == c).any()
    ]


def signature(member: Member | None) -> int:
    """Pitch class of the major key whose signature a collection goes with, or -1."""
    if member is None:
        return -1
    above = {"diatonic": 0, "harmonic minor": 3, "acoustic": 10, "harmonic major": 0}.get(member.kind.name)
    return -1 if above is None else (member.root.pc + above) % 12


def key_score(piece: Analysed, options: TraceOptions | None = None) -> tuple[float, float]:
    """Shares of the analysed time at which signature and tonic agree."""
    tracing = trace_score(piece.score, options=options)
    first = first_readings(tracing)
    signatures = np.array([signature(m) for m in tracing.family.members] + [-1])
    centres = [span.centre.first.note.pc if span.centre else -1 for span in tracing.spans]
    tonics = np.repeat(centres, np.diff(tracing.segmentation.cuts))
    return agreement(piece, tracing.slices.cuts, signatures[first], tonics)


def agreement(piece: Analysed, cuts: NDArray[np.int64], signatures: NDArray[np.int64], tonics: NDArray[np.int64]
              ) -> tuple[float, float]:  # fmt: skip
    """Shares of the analysed time at which signature and tonic agree, from a row of stretches."""
    same_signature = same_tonic = whole = 0
    for key in piece.keys:
        within = np.clip(np.minimum(cuts[1:], key.end) - np.maximum(cuts[:-1], key.onset), 0, None)
        same_signature += int(within[signatures == key.signature].sum())
        same_tonic += int(within[tonics == key.tonic].sum())
        whole += key.end - key.onset
    return same_signature / whole, same_tonic / whole


def windowed_score(piece: Analysed, window: int = 8) -> tuple[float, float]:
    """The same for keys found in a window of so many quarters that slides by a quarter, by music21."""
    from music21 import analysis, converter

    stream = converter.parse(piece.path)
    found = analysis.windowed.WindowedAnalysis(stream, analysis.discrete.KrumhanslSchmuckler())
    solutions = found.analyze(window)[0]
    keys = [(tonic.pitchClass, mode == "major") for tonic, mode, _ in solutions]
    # A window stands for the quarter at its middle; the first and last reach to the ends of the piece.
    ticks = piece.score.ticks_per_quarter
    cuts = (np.arange(len(keys) + 1) + window // 2) * ticks
    cuts[0], cuts[-1] = 0, max(piece.score.end, int(cuts[-1]))
    tonics = np.array([tonic for tonic, _ in keys])
    signatures = np.array([tonic if major else (tonic + 3) % 12 for tonic, major in keys])
    return agreement(piece, cuts, signatures, tonics)


def long_score(slices: int) -> Score:
    """A generated score of so many slices, or a few more, up to the end of a bar."""
    rng = np.random.default_rng(7)
    sections = random_sections(default_family().masks.tolist(), rng, count=slices // 40)
    score = compose(sections, seed=7, noise=0.03).score
    reached = slice_score(score).cuts[slices]
    bars = score.bars[score.bars["onset"] < reached]
    end = bars["onset"][-1] + bars["duration"][-1]
    return replace(score, notes=score.notes[score.notes["onset"] < end], bars=bars)


def milliseconds(work: object, *, times: int = 9) -> float:
    """Shortest time of several."""
    spent = []
    for _ in range(times):
        start = time.perf_counter()
        work()  # type: ignore[operator]
        spent.append(time.perf_counter() - start)
    return 1000 * min(spent)


def timing() -> list[tuple[str, float]]:
    """Milliseconds for 2,000 slices, part by part."""
    score = long_score(2000)
    slices = slice_score(score)
    family, options = default_family(), TraceOptions()
    ready = Evidence(slices, family, options)
    moments = len(ready.moments)
    every = np.repeat(ready.by_moment, 2, axis=0)[: len(slices)]
    boundaries = replace(ready.transitions, levels=np.resize(ready.transitions.levels, len(slices) - 1))
    return [
        (f"path and posteriors, {moments} moments", milliseconds(
            lambda: (best_path(ready.by_moment, ready.transitions), posteriors(ready.by_moment, ready.transitions)))),
        (f"path and posteriors, were all {len(slices)} slices moments", milliseconds(
            lambda: (best_path(every, boundaries), posteriors(every, boundaries)))),
        ("the whole tracing, spans and centres written out", milliseconds(
            lambda: Tracing(Evidence(slices, family, options)).spans)),
        ("the same, slicing included", milliseconds(lambda: trace_score(score).spans)),
    ]  # fmt: skip


def objective(options: TraceOptions, pieces: list[Piece], analysed: list[Analysed]) -> float:
    """What the fit makes large: accuracy, twice as much on generated pieces, less what the posterior errs (Brier)."""
    rights, briers = [], []
    for piece in pieces:
        tracing = trace_score(piece.score, options=options)
        truth = true_readings(piece, tracing)
        rights.append(by_time(first_readings(tracing) == truth, tracing))
        off = 1 - probabilities(tracing)[np.arange(len(truth)), truth]
        briers.append(float(np.average(off**2, weights=tracing.slices.durations)))
    keys = [key_score(piece, options)[0] for piece in analysed]
    return float((2 * np.mean(rights) + np.mean(keys) - np.mean(briers)) / 3)


def fit(tries: int, seed: int = 0) -> TraceOptions:
    """Random search from the present numbers: a third of the tries anywhere, the rest around the best."""
    rng = np.random.default_rng(seed)
    pieces = [p for k, noise in enumerate(NOISE[:-1]) for p in generated(noise, count=16, seed=FIT_SEED + 100 * k)]
    analysed = chorales(range(2, 21, 2))
    best, most = TraceOptions(), objective(TraceOptions(), pieces, analysed)
    print(f"{most:.4f} {best}")
    for n in range(tries):
        tried = _anywhere(rng) if n < tries // 3 else _around(best, rng)
        reached = objective(tried, pieces, analysed)
        if reached > most:
            best, most = tried, reached
            print(f"{most:.4f} {best}", flush=True)
    return best


def _anywhere(rng: np.random.Generator) -> TraceOptions:
    return TraceOptions(
        foreign=float(np.exp(rng.uniform(np.log(0.01), np.log(0.2)))),
        none_size=float(rng.uniform(10.5, 12)),
        stranger=float(rng.uniform(4, 25)),
        evidence=float(np.exp(rng.uniform(np.log(0.2), np.log(3)))),
        change=float(np.exp(rng.uniform(np.log(0.003), np.log(0.3)))),
        per_note=float(rng.uniform(0, 3)),
        metre=float(rng.uniform(0, 2)),
        claim=float(rng.uniform(0, 3)),
        metrical=float(rng.uniform(0, 0.8)),
    )


def _around(best: TraceOptions, rng: np.random.Generator) -> TraceOptions:
    names = ("stranger", "foreign", "evidence", "change", "per_note", "metre", "claim")
    moved = {name: getattr(best, name) * float(np.exp(rng.normal(0, 0.25))) for name in names}
    none_size = float(np.clip(best.none_size + rng.normal(0, 0.3), 7, 12))
    metrical = float(np.clip(best.metrical + rng.normal(0, 0.1), 0, 1))
    return replace(best, **moved, none_size=none_size, metrical=metrical)


def report(*, windows: bool) -> None:
    """Print the four tables."""
    print("1. Generated pieces, 24 at each level: shares of the time")
    print("   noise   first reading right   decided   right where decided")
    for k, noise in enumerate(NOISE):
        found = generated_score(generated(noise, count=24, seed=TEST_SEED + 100 * k))
        print(f"   {noise:5.2f} {found.right:21.3f} {found.decided:9.3f} {found.right_where_decided:21.3f}")
    print("2. Trust in the posterior, noise 0.06")
    for told, right, count in trust(generated(0.06, count=24, seed=TEST_SEED), (0.3, 0.5, 0.7, 0.9, 0.99)):
        print(f"   told {told:.3f}   right {right:.3f}   ({count} slices)")
    print("3. Local keys by human analysts: shares of the time at which signature and tonic agree")
    sets = {"Bach, chorales of odd number": chorales(range(1, 21, 2)), "Monteverdi, madrigals, book 3": madrigals(3)}
    for name, pieces in sets.items():
        ours = np.mean([key_score(piece) for piece in pieces], axis=0)
        print(f"   {name} ({len(pieces)}): traced {ours[0]:.3f}, {ours[1]:.3f}")
        if windows:
            for window in (8, 16):
                theirs = np.mean([windowed_score(piece, window) for piece in pieces], axis=0)
                print(f"      key profiles, window of {window} quarters: {theirs[0]:.3f}, {theirs[1]:.3f}")
    print("4. Time for 2,000 slices and 58 readings; the budget is 20 ms")
    for name, spent in timing():
        print(f"   {name}: {spent:.1f} ms")


def main() -> None:
    parser = argparse.ArgumentParser(description=__doc__.splitlines()[0] if __doc__ else "")
    parser.add_argument("--fit", type=int, metavar="TRIES", help="search for the numbers of the model instead")
    parser.add_argument("--no-windows", action="store_true", help="leave out the slow comparison with key profiles")
    chosen = parser.parse_args()
    if chosen.fit:
        print(fit(chosen.fit))
    else:
        report(windows=not chosen.no_windows)


if __name__ == "__main__":
    main()
