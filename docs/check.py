"""Keep the documents true: regenerate what is made from the code, and fail where a page is stale or a link is dead.

``python docs/check.py`` checks; ``python docs/check.py --write`` writes the generated pages anew.
"""

from __future__ import annotations

import ast
import re
import sys
from pathlib import Path

from sonorarium.cli import manual as commands
from sonorarium.lesson import manual as lessons
from sonorarium.lesson.checks import claims
from sonorarium.lesson.exercises import drillmanual as drills
from sonorarium.web.facts import tokens

ROOT = Path(__file__).resolve().parents[1]
PACKAGE = ROOT / "sonorarium"
LAYERS = ("cli", "web", "lesson", "study", "render", "shelf", "score", "pitch", "pcs")
UNMIRRORED = {"__init__"}
THROUGH_THE_PROGRAM = {"cli"}  # its files are tested together, as a person runs them, in tests/cli/test_app.py


def house_map() -> str:
    """A page with one line for each module, from its own first sentence."""
    lines = [
        "# Map of the house",
        "",
        "Made from the modules' own first lines. Each layer imports only from those below it.",
        "",
    ]
    for layer in LAYERS:
        folder = PACKAGE / layer
        lines += [f"## `{layer}`: {_first_line(folder / '__init__.py').rstrip('.')}", ""]
        lines += _modules(folder)
        for group in _groups(folder):
            name = group.relative_to(PACKAGE).as_posix()
            lines += [f"### `{name}`: {_first_line(group / '__init__.py').rstrip('.')}", "", *_modules(group)]
    lines += ["## below all layers", ""]
    lines += [f"- `{p.name}`: {_first_line(p)}" for p in sorted(PACKAGE.glob("*.py")) if p.stem != "__init__"]
    return "\n".join(lines) + "\n"


def _modules(folder: Path) -> list[str]:
    """Lines on the modules that lie in a folder itself, and an empty one after them."""
    modules = sorted(p for p in folder.glob("*.py") if p.stem != "__init__")
    return [f"- `{p.relative_to(PACKAGE).as_posix()}`: {_first_line(p)}" for p in modules] + [""] * bool(modules)


def _groups(layer: Path) -> list[Path]:
    """The packages inside a layer, at any depth."""
    return sorted(p.parent for p in layer.glob("*/**/__init__.py"))


def _first_line(module: Path) -> str:
    return (
        (ast.get_docstring(ast.parse(module.read_text(encoding="utf-8"))) or "").split("\n\n")[0].replace("\n", " ")
    )


def command_pages() -> str:
    """The manual of the command line, from the commands' own help."""
    return commands.manual()


def lesson_pages() -> str:
    """The manual of lessons, from the directives' own declarations."""
    return lessons.manual()


GENERATED = {
    "docs/map.md": house_map,
    "docs/commands.md": command_pages,
    "docs/lessons.md": lesson_pages,
    "docs/drills.md": drills.manual,
    "docs/claims.md": claims.grammar_page,
    "docs/look.md": tokens.guide,
}


def stale_pages(*, write: bool) -> list[str]:
    """Compare each generated page with what the code makes now; with ``write``, mend it."""
    found = []
    for name, make in GENERATED.items():
        page, now = ROOT / name, make()
        if page.exists() and page.read_text(encoding="utf-8") == now:
            continue
        if write:
            page.write_text(now, encoding="utf-8")
        else:
            found.append(f"{name} is stale: run python docs/check.py --write")
    return found


def dead_links() -> list[str]:
    """Relative links and pictures of the Markdown pages that lead nowhere."""
    found = []
    for page in [*ROOT.glob("*.md"), *(ROOT / "docs").rglob("*.md"), *(ROOT / "demo").rglob("*.md")]:
        for target in re.findall(r"\]\(([^)#\s]+)[^)]*\)", page.read_text(encoding="utf-8")):
            if "://" not in target and not (page.parent / target).exists():
                found.append(f"{page.relative_to(ROOT)}: no such file: {target}")
    return found


def unmirrored_modules() -> list[str]:
    """Modules without a test file of their name, in the folder of tests that mirrors theirs."""
    found = []
    for layer in LAYERS:
        for module in sorted((PACKAGE / layer).rglob("*.py")):
            test = ROOT / "tests" / module.relative_to(PACKAGE).with_name(f"test_{module.name}")
            mirrored = test.exists() or layer in THROUGH_THE_PROGRAM or module.stem in UNMIRRORED
            if not mirrored:
                found.append(f"{module.relative_to(ROOT)} has no {test.relative_to(ROOT)}")
    return found


def long_modules() -> list[str]:
    """Modules over the hard limit of 600 lines."""
    sized = ((p, len(p.read_text(encoding="utf-8").splitlines())) for p in sorted(PACKAGE.rglob("*.py")))
    return [f"{p.relative_to(ROOT)} has {n} lines; split it at 600" for p, n in sized if n > 600]


def main() -> int:
    """Check everything, print what is wrong, and return the exit status."""
    problems = stale_pages(write="--write" in sys.argv[1:]) + dead_links() + unmirrored_modules() + long_modules()
    print(
        "\n".join(problems) or "docs: every generated page fresh, every link alive, every module mirrored by a test"
    )
    return 1 if problems else 0


if __name__ == "__main__":
    sys.exit(main())
