"""How fast a landscape is taken in: ``python -m bench.landscape``.

The budget for two million segments is half a second.
"""

from __future__ import annotations

from bench.tracing import long_score, milliseconds
from sonorarium.pcs.collection import collection
from sonorarium.pcs.families import default_family
from sonorarium.render.scape import draw_likeness, draw_members
from sonorarium.score.analysis.landscape import landscape


def main() -> None:
    score = long_score(2000)
    scape = landscape(score)
    print(f"{scape.slices} slices, {len(scape):,} segments")
    works = {
        "slices and the set of every segment": lambda: landscape(score),
        "the class of every segment": lambda: landscape(score).classes,
        "class vector by segments": lambda: landscape(score).class_vector("segments"),
        "class vector by area": lambda: landscape(score).class_vector("area"),
        "class vector by coverage": lambda: landscape(score).class_vector("coverage"),
        "image of likeness": lambda: draw_likeness(scape, collection("C major")),
        "image of members": lambda: draw_members(scape, default_family()),
    }
    for name, work in works.items():
        print(f"   {name}: {milliseconds(work):.1f} ms")


if __name__ == "__main__":
    main()
