"""``sonorarium family``: the scales of a family, what they share, and the moves of one semitone between them."""

from __future__ import annotations

from collections import Counter
from typing import TYPE_CHECKING, Annotated

import typer

from sonorarium.cli.output import Json, console, plain_table, print_json
from sonorarium.cli.sheet import family_named, strip

if TYPE_CHECKING:
    from sonorarium.pcs.commontones import CommonTones
    from sonorarium.pcs.family import Family
    from sonorarium.pcs.network import Network


def family_command(
    name: Annotated[str, typer.Argument(help="A family by name, or a TOML file of one's own; without, all.")] = "",
    as_json: Json = False,
) -> None:
    """A family of scales: its kinds, the tones they share, and the moves of one semitone between its members."""
    from sonorarium.pcs.commontones import common_tones
    from sonorarium.pcs.network import family_network

    if not name:
        _list_families(as_json=as_json)
        return
    family = family_named(name)
    net, shared = family_network(family), common_tones(family)
    if as_json:
        print_json("family", _document(family, net, shared))
        return
    out = console()
    out.print(f"{family.name}: {len(family)} scales\n{family.rule}")
    _print_kinds(family)
    _print_shared(family, shared)
    _print_moves(family, net)


def _list_families(*, as_json: bool) -> None:
    from sonorarium.pcs.families import families

    found = families()
    if as_json:
        rows = [{"key": key, "name": one.name, "rule": one.rule, "members": len(one)} for key, one in found.items()]
        print_json("families", {"families": rows})
        return
    for key, one in found.items():
        console().print(f"{key:<16} {one.name} ({len(one)} scales)", soft_wrap=True)


def _document(family: Family, net: Network, shared: CommonTones) -> dict[str, object]:
    moves = [
        {
            "from": net.names[edge.start],
            "to": net.names[edge.end],
            "kind": edge.kind,
            "leaving": list(edge.leaving),
            "arriving": list(edge.arriving),
        }
        for edge in net.edges
    ]
    kinds = [
        {"name": k.name, "label": k.label, "pcs": list(k.pcset.pcs), "members": k.transpositions}
        for k in family.kinds
    ]
    return {
        "name": family.name,
        "rule": family.rule,
        "source": family.source,
        "kinds": kinds,
        "members": [{"name": m.name, "pcs": list(m.pcs)} for m in family.members],
        "common_tones": [list(row) for row in shared.counts],
        "moves": moves,
    }


def _print_kinds(family: Family) -> None:
    table = plain_table("", "class", "kind", "members", title="\nKinds")
    for kind in family.kinds:
        table.add_row(strip(kind.pcset.pcs), kind.label, kind.name, str(kind.transpositions))
    console().print(table)


def _print_shared(family: Family, shared: CommonTones) -> None:
    """The most tones that different members of each two kinds share: the kinds are numbered to fit the page."""
    most: dict[tuple[str, str], int] = {}
    for i, one in enumerate(shared.members):
        for j, other in enumerate(shared.members):
            if i != j:
                pair = one.kind.name, other.kind.name
                most[pair] = max(most.get(pair, 0), shared.counts[i][j])
    names = [kind.name for kind in family.kinds]
    table = plain_table("most tones shared by two", *(str(k + 1) for k in range(len(names))), title="\nCommon tones")
    for k, name in enumerate(names):
        table.add_row(f"{k + 1} {name}", *(str(most.get((name, other), "")) for other in names))
    console().print(table)


def _print_moves(family: Family, net: Network) -> None:
    kind_of = {member.name: member.kind.name for member in family.members}
    counted = Counter(
        tuple(sorted((kind_of[net.names[edge.start]], kind_of[net.names[edge.end]]))) for edge in net.edges
    )
    table = plain_table("between", "and", "moves", title="\nMoves of one semitone between members")
    for (one, other), times in sorted(counted.items()):
        table.add_row(one, other, str(times))
    console().print(table)
    if not counted:
        console().print("  none")
