"""Speed of the set layer: ``python -m bench.pcs`` prints a table.

Three figures, each a median of several runs on this machine:

* all 4,096 sets fully described, every table of the layer built from nothing;
* a general-purpose reference library labelling the same 4,096 sets (label, prime form, normal order and vector of
  each; no more, though ours answers much more), and the ratio of the two;
* a whole process from start to the first answer about a set, over a whole process that imports NumPy alone.
"""

from __future__ import annotations

import statistics
import subprocess
import sys
import time
from collections.abc import Callable
from types import ModuleType
from typing import NamedTuple

import numpy as np

from sonorarium.pcs import (
    catalogue,
    coherence,
    consonance,
    evenness,
    fourier,
    generated,
    rothenberg,
    roughness,
    spectrum,
    symmetry,
    tables,
)

BUDGET_DESCRIBED_MS = 50.0
BUDGET_START_S = 0.2
FIRST_ANSWER = "import sonorarium as so; print(so.read_set('C E Ab B').label)"

_MODULES = (
    tables,
    catalogue,
    spectrum,
    symmetry,
    generated,
    rothenberg,
    coherence,
    fourier,
    evenness,
    consonance,
    roughness,
)


class Figures(NamedTuple):
    """What was measured; seconds, medians."""

    described_s: float
    labelled_s: float
    labelled_sets: int
    started_s: float
    bare_s: float

    @property
    def labelled_all_s(self) -> float:
        """Time of the reference library for all sets, scaled up from those that it was given."""
        return self.labelled_s * tables.SETS / self.labelled_sets

    @property
    def ratio(self) -> float:
        return self.labelled_all_s / self.described_s

    @property
    def over_bare_s(self) -> float:
        return self.started_s - self.bare_s


def forget(modules: tuple[ModuleType, ...] = _MODULES) -> None:
    """Empty every cache of the layer, so that the next description starts from nothing."""
    for module in modules:
        for thing in vars(module).values():
            if hasattr(thing, "cache_clear"):
                thing.cache_clear()


def describe_all() -> dict[str, object]:
    """Everything that is known of all 4,096 sets, as tables by set or by class."""
    tn, tni = catalogue.tn_index(), catalogue.tni_index()
    return {
        "label": (catalogue.tn_labels(), tn),
        "class": (catalogue.tni_labels(), tni),
        "normal order": (tables.normal_start(), tables.normal_start_forte()),
        "prime form": (tables.prime(), tables.prime_forte()),
        "vector": (tables.vector(), tables.content()),
        "chromatic trichords": tables.chromatic_trichords(),
        "symmetry": (symmetry.self_maps(), symmetry.degree_of_symmetry(), symmetry.complement_maps()),
        "partner": catalogue.partner()[tni],
        "complement": catalogue.complement()[tni],
        "multiplied": catalogue.multiplied()[:, tni],
        "spectrum": (spectrum.smallest()[tn], spectrum.largest()[tn], spectrum.variety()[tn]),
        "generated": (generated.generated_by()[tni], generated.well_formed_by()[tni]),
        "maximally even": generated.maximally_even()[tn],
        "Myhill": generated.myhill()[tn],
        "deep": generated.deep()[tni],
        "propriety": (rothenberg.kinds()[tn], rothenberg.stability()[tn], rothenberg.ambiguous_sizes()[tn]),
        "coherence": coherence.coherent()[tn],
        "evenness": (evenness.values()[tni], evenness.ranks()[tni], evenness.ties()[tni], evenness.balances()),
        "Fourier": (fourier.magnitudes(), fourier.phases()),
        "consonance": consonance.dyadic_consonances(),
        "roughness": roughness.closest_roughness(),
        "embedded classes": (catalogue.tni_counts(), catalogue.tn_counts()),
    }


def label_with_reference(masks: list[int]) -> int:
    """Label sets with the reference library; gives how many got a label."""
    from music21.chord import Chord

    done = 0
    for mask in masks:
        chord = Chord([pc for pc in range(12) if mask >> pc & 1])
        done += bool(chord.forteClass and chord.primeForm and chord.normalOrder and chord.intervalVector)
    return done


def timed(work: Callable[[], object], *, runs: int, before: Callable[[], object] = lambda: None) -> float:
    """Median seconds of several runs, each after its own preparation."""
    found = []
    for _ in range(runs):
        before()
        start = time.perf_counter()
        work()
        found.append(time.perf_counter() - start)
    return statistics.median(found)


def process(code: str) -> None:
    subprocess.run([sys.executable, "-c", code], check=True, stdout=subprocess.DEVNULL)


def measure(*, sample: int = tables.SETS - 1, runs: int = 7) -> Figures:
    """Measure all three; ``sample`` sets, spread evenly, go through the reference library (it has no empty set)."""
    masks = np.unique(np.linspace(1, tables.FULL, sample).astype(int)).tolist()
    label_with_reference(masks[:1])  # its import is not held against it
    return Figures(
        described_s=timed(describe_all, runs=runs, before=forget),
        labelled_s=timed(lambda: label_with_reference(masks), runs=1),
        labelled_sets=len(masks),
        started_s=timed(lambda: process(FIRST_ANSWER), runs=runs),
        bare_s=timed(lambda: process("import numpy"), runs=runs),
    )


def table(found: Figures | None = None) -> str:
    """The figures as lines of text; measured now where none are given, on a tenth of the sets for the reference."""
    found = found or measure(sample=410)
    rows = [
        (
            "all 4,096 sets fully described",
            f"{found.described_s * 1000:.1f} ms",
            f"under {BUDGET_DESCRIBED_MS:.0f} ms",
        ),
        (f"reference library labels {found.labelled_sets:,} sets", f"{found.labelled_s:.2f} s", ""),
        ("ratio, for all sets", f"{found.ratio:,.0f} times", ""),
        ("process with the first answer", f"{found.started_s:.3f} s", ""),
        ("process that imports NumPy alone", f"{found.bare_s:.3f} s", ""),
        ("difference", f"{found.over_bare_s:.3f} s", f"under {BUDGET_START_S} s"),
    ]
    return "\n".join(f"{what:40}{value:>14}  {budget}".rstrip() for what, value, budget in rows)


if __name__ == "__main__":
    print(table(measure()))
