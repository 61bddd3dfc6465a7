"""Build the demo study: copy it, put its pieces on a shelf of its own, build its course, say what was made."""

from __future__ import annotations

import shutil
import sys
import time
from pathlib import Path

from sonorarium.lesson.courses.course import build_course
from sonorarium.lesson.courses.ledger import read_ledger
from sonorarium.pcs.reading import read_set
from sonorarium.score.reading import read_score
from sonorarium.score.search.finding import find
from sonorarium.shelf.indexing import add_folders
from sonorarium.shelf.shelf import Shelf
from sonorarium.study.folder import Study, open_study

HOME = Path(__file__).resolve().parent
PARTS = ("study.toml", "PIECES.md", "pieces", "lessons")


def lay_out(folder: Path) -> Study:
    """Copy the demo to a folder of its own; what the user has put there besides stays."""
    folder.mkdir(parents=True, exist_ok=True)
    for name in PARTS:
        source = HOME / name
        if source.is_dir():
            shutil.copytree(source, folder / name, dirs_exist_ok=True)
        else:
            shutil.copy2(source, folder / name)
    return open_study(folder)


def tell_pieces(study: Study) -> None:
    """One line for each piece: its bars, its notes, and where the double harmonic scale is heard whole."""
    wanted = read_set("C double harmonic").tn_class
    for path in study.pieces():
        score = read_score(path)
        found = find(score, wanted, kind="texture")
        bars = ", ".join(f"{p.bars[0]}–{p.bars[1]}" for p in sorted(found, key=lambda p: p.onset)) or "none"
        print(
            f"  {score.title:<26} {len(score.bars):>3} bars {len(score.sounding):>4} notes   double harmonic: {bars}"
        )


def put_on_shelf(study: Study) -> None:
    """Index the pieces, so that the workbench can search them as soon as it is opened."""
    shelf = Shelf(study.folder / ".shelf")
    added = add_folders(shelf, [study.folder / study.pieces_name], jobs=1)
    print(f"\nOn the shelf of the study: {added.files} pieces.\n  {shelf.folder}")


def tell_ledger(study: Study) -> None:
    """One line for each lesson: the scales and classes that it shows, and how many it brings that are new."""
    met: set[object] = set()
    for entry in read_ledger(study).entries:
        classes = set(entry.classes())
        scales = ", ".join(one.title for one in entry.collections)
        print(f"  {entry.title}: {len(classes)} set classes, {len(classes - met)} of them new; {scales}")
        met |= classes


def main() -> None:
    """Build everything and print where it is."""
    began = time.perf_counter()
    folder = Path(sys.argv[1] if len(sys.argv) > 1 else "demo-study")
    study = lay_out(folder)
    print(f"{study.title}\n  {study.folder}\n\nPieces, and the bars in which they keep to a double harmonic scale:")
    tell_pieces(study)
    put_on_shelf(study)
    print("\nWhat each lesson covers:")
    tell_ledger(study)
    print("\nThe course; begin with index.html:")
    for file in build_course(study, study.folder / "made").files:
        print(f"  {file}")
    print(f"\nMade in {time.perf_counter() - began:.1f} s. Set the volume low, then open index.html in a browser,")
    print("or run 'make open' for the workbench.")


if __name__ == "__main__":
    main()
