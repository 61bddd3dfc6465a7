"""The manual of lessons: every directive with its options, from their declarations, and examples that are run."""

from __future__ import annotations

from sonorarium.lesson.directives import DIRECTIVES, Kind
from sonorarium.lesson.roles import ROLES

_OPENING = """# Lessons

Made from the directives' own declarations. A lesson is a Markdown file in the study's `lessons` folder. Build it with

    sonorarium lesson build lessons/first.md --out made

and it becomes one HTML page that opens from disk, with its sounds inside, and a PDF for print (`--paper a4` or
`--paper us-letter`). It can also become slides, single figures and clips, MusicXML and a list of captions, in colours
of your own: [the forms of a lesson](forms.md). Building twice gives identical files.

## The text

CommonMark with tables and ~~strikethrough~~. Raw HTML is shown as text. A block between lines of `---` at the very
top may hold `title`, `subtitle` and `author`.

## Directives

A directive is a fence of three or more back-ticks or colons. Its first line names it in braces, with its argument;
lines `:option: value` follow; what comes after them is the caption.
"""

EXAMPLES = {
    "scale": "```{scale} D double harmonic\n:below: names\n\nThe scale on D.\n```",
    "chord": "```{chord} Ab over C7\n```",
    "survey": "```{survey} D double harmonic\n:parts: facts, modes, insides, kin\n:size: 5, 6\n```",
    "strips": "```{strips} D double harmonic\n```",
    "compare": "```{compare} D double harmonic; D harmonic minor; D harmonic major\n:size: 5\n```",
    "circle": "```{circle} D double harmonic\n:with: Dmaj7\n:axes: yes\n```",
    "keyboard": "```{keyboard} D double harmonic\n:with: Dmaj7\n:sound: scale\n```",
    "lattice": "```{lattice} D double harmonic\n:with: Dmaj7\n```",
    "network": "```{network} spaced\n:kinds: diatonic\n:from: C major\n:to: E major\n:sound: yes\n```",
    "voicing": "```{voicing} C E Ab B\n:bass: C\n:kinds: drop 2, spread\n:table: yes\n```",
    "progression": "```{progression} D F# A C# -> Eb G Bb D -> F# A C# Eb -> D F# A C#\n:moves: yes\n```",
    "trace": "```{trace} pieces/4-boat-without-oars.musicxml\n:table: yes\n```",
    "landscape": "```{landscape} pieces/4-boat-without-oars.musicxml\n```",
    "passage": "```{passage} pieces/1-saffron-evening.musicxml\n:set: 5-15\n:kind: texture\n:sound: no\n```",
    "sound": "```{sound} C E Ab B\n:as: arpeggio\n```",
    "drill": "```{drill} D double harmonic\n:kinds: mode, subset\n:count: 4\n:level: 2\n:seed: 7\n```",
}
"""One example of each directive; the tests build them all."""

ROLE_EXAMPLES = (
    ("set", "6-z10"),
    ("set", "C E Ab B: label"),
    ("scale", "D double harmonic"),
    ("scale", "D double harmonic: notes, label"),
    ("chord", "Ebmaj7#5"),
    ("chord", "Ab over C7: notes"),
    ("label", "C E Ab B"),
    ("notes", "eb lydian"),
)
"""Roles and what is typed in them."""


def manual() -> str:
    """Write the manual as Markdown."""
    roles = [f"- ``{{{role}}}`{typed}` `` becomes **{ROLES[role](typed)}**" for role, typed in ROLE_EXAMPLES]
    return "\n".join(
        [
            _OPENING,
            *(_page(kind) for kind in DIRECTIVES.values()),
            "## Roles in running text\n",
            "A role is a name in braces before back-ticks. What is typed is read as everywhere else, and set right;",
            "a class that does not exist stops the build with its line.\n",
            *roles,
            "",
            "After a colon stands what is to be added in brackets: `label`, `notes`, `steps` or `degrees`.\n",
            "- ``{claim}`5-22 is inside 7-22 twice` `` is a statement; it is shown as it is typed, and checked.",
            "  What may be stated, and how the rest of the text is checked, is on [a page of its own](claims.md).",
            "",
        ]
    )


def _page(kind: Kind) -> str:
    lines = [f"### `{kind.name}`", "", f"{kind.help} Its argument: {kind.argument}.", ""]
    if kind.options:
        lines += ["| option | meaning |", "|---|---|", *(f"| `{o}` | {m} |" for o, m in kind.options.items()), ""]
    return "\n".join([*lines, f"````\n{EXAMPLES[kind.name]}\n````", ""])
