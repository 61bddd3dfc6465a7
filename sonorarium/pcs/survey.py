"""The survey of a set: everything that is known of it, gathered as plain values.

Each function gathers one chapter and can be asked for alone; `survey` puts all chapters together under stable keys,
as the command line prints them with ``--json`` and as pages and lessons show them. Nothing is computed here: each
value comes from the module that owns its idea, where its meaning and its source stand.

Pitch classes are numbers, C = 0; note names are as typed, with b and #.
"""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import asdict

from sonorarium.pcs import evenness, fourier, generated, rothenberg, roughness, symmetry
from sonorarium.pcs.chordquality import Style
from sonorarium.pcs.complexes import k_complex, kh_complex
from sonorarium.pcs.consonance import dyadic_consonance
from sonorarium.pcs.families import default_family
from sonorarium.pcs.family import Family
from sonorarium.pcs.insides import outsides
from sonorarium.pcs.kin import kin, scale_name
from sonorarium.pcs.modes import shades
from sonorarium.pcs.naming import name_set
from sonorarium.pcs.pcset import PcSet, step_pattern
from sonorarium.pcs.reading import Readable
from sonorarium.pcs.similarity import most_alike
from sonorarium.pcs.sisters import SizeTotal, sisters
from sonorarium.pcs.spelling import Spelled, readable, spell
from sonorarium.pcs.subject import Subject, subject

Chapter = dict[str, object]


def survey(
    what: str | Readable | Subject,
    family: Family | None = None,
    *,
    sizes: Iterable[int] | None = None,
    tn: bool = False,
) -> Chapter:
    """Gather everything known of a set.

    Parameters
    ----------
    what : str, Readable or Subject
        The set, as it may be typed anywhere, as it was read, or settled already.
    family : Family, optional
        The sister scales; by default the scales without consecutive semitones.
    sizes : iterable of int, optional
        Numbers of notes for the insides; all by default.
    tn : bool
        Count a class and its mirror apart in the insides and outsides.

    Returns
    -------
    dict
        The chapters under ``identity``, ``character``, ``modes``, ``insides``, ``outsides``, ``kin``, ``names`` and
        ``family``.

    Raises
    ------
    InputError
        Where a text is not understood.

    Examples
    --------
    >>> found = survey("D double harmonic")
    >>> found["identity"]["label"], found["identity"]["notes"]
    ('7-22', ['D', 'Eb', 'F#', 'G', 'A', 'Bb', 'C#'])
    """
    shown = what if isinstance(what, Subject) else subject(what)
    among = family or default_family()
    return {
        "identity": identity(shown),
        "character": character(shown.pcset),
        "modes": modes(shown),
        "insides": insides(shown, among, sizes, tn=tn),
        "outsides": superset_classes(shown, tn=tn),
        "kin": relations(shown),
        "names": names(shown.pcset, called=typed_names(shown)),
        "family": holders(shown.pcset, among),
    }


def _texts(notes: Iterable[Spelled]) -> list[str]:
    return [note.text for note in notes]


def identity(shown: Subject) -> Chapter:
    """What the set is: notes, class, normal order and prime form in both conventions, vector, symmetry."""
    s = shown.pcset
    return {
        "title": shown.title,
        "notes": _texts(shown.notes),
        "readable_notes": _texts(readable(shown.notes)),
        "degrees": list(shown.degrees),
        "pcs": list(s.pcs),
        "cardinality": s.cardinality,
        "steps": list(step_pattern(shown.rising)),
        "label": s.label,
        "class": s.set_class.label,
        "normal_order": {"rahn": list(s.normal_order), "forte": list(s.normal_order_forte)},
        "prime_form": {"rahn": list(s.prime_form), "forte": list(s.prime_form_forte)},
        "interval_vector": list(s.interval_vector),
        "operations_onto_itself": [str(op) for op in symmetry.symmetries(s)],
        "axes": [[float(end) for end in axis] for axis in symmetry.axes(s)],
        "distinct_transpositions": s.distinct_transpositions,
        "distinct_forms": s.distinct_forms,
        "mirror": mirror(shown),
        "partner": s.partner.label if s.partner else None,
        "complement": {"pcs": list((~s).pcs), "label": (~s).label, "class": s.abstract_complement.label},
        "m5": s.multiplied(5).set_class.label,
        "m7": s.multiplied(7).set_class.label,
        "chromatic_trichords": s.chromatic_trichords,
    }


def mirror(shown: Subject) -> Chapter:
    """The set turned upside down about its first note, and the scale that it then is, where the catalogue has it."""
    if not shown.notes:
        return {"label": shown.pcset.label, "notes": [], "scale": None}
    root = shown.notes[0]
    turned = shown.pcset.inverted(2 * root.pc)
    notes = spell(turned.rising_from(root.pc), root)
    return {"label": turned.label, "notes": _texts(notes), "scale": scale_name(notes, root) or None}


def character(s: PcSet) -> Chapter:
    """How the set is made: generation, evenness, propriety, Fourier components, roughness."""
    if not s:
        return {}
    rank = rothenberg.propriety(s)
    return {
        "generators": list(generated.generators(s)),
        "well_formed": generated.is_well_formed(s),
        "maximally_even": generated.is_maximally_even(s),
        "myhill": generated.has_myhill_property(s),
        "deep": generated.is_deep(s),
        "propriety": {"kind": rank.kind, "stability": rank.stability, "ambiguous": list(rank.ambiguous)},
        "evenness": [asdict(one) for one in evenness.evenness(s)],
        "balance": evenness.balance(s),
        "fourier": [
            {"k": c.k, "magnitude": c.magnitude, "phase_degrees": c.phase_degrees} for c in fourier.components(s)
        ],
        "roughness_closest": roughness.set_roughness(s),
        "dyadic_consonance": dyadic_consonance(s),
    }


def modes(shown: Subject) -> list[Chapter]:
    """Modes from the brightest to the darkest, ties said, each named where the catalogue names it."""
    by_pc = {note.pc: note.text for note in shown.notes}
    return [
        {
            "tonics": [by_pc[pc] for pc in mode.tonics],
            "steps": list(mode.steps),
            "brightness": shade.brightness,
            "tied": shade.is_tied,
            "name": mode.kind.name if mode.kind else None,
            "other_names": list(mode.kind.aliases) if mode.kind else [],
        }
        for shade in shades(shown.pcset)
        for mode in shade.modes
    ]


def insides(shown: Subject, family: Family, sizes: Iterable[int] | None = None, *, tn: bool = False) -> Chapter:
    """Subset classes by size: times, places, and the sister scales that hold them too."""
    if not shown.pcset:
        return {"sisters": [], "rows": [], "totals": []}
    table = sisters(shown, family, sizes=sizes, tn=tn)
    rows = [
        {
            "class": row.set_class.label,
            "times": row.times,
            "places": [{"degrees": list(p.degrees), "notes": _texts(p.notes)} for p in row.inside.places],
            "also_in": list(row.also_in),
            "only_here": row.only_here,
        }
        for row in table.rows
    ]
    return {"sisters": list(table.sisters), "rows": rows, "totals": [_total(one) for one in table.totals]}


def _total(total: SizeTotal) -> Chapter:
    return asdict(total) | {"shared": list(total.shared)}


def superset_classes(shown: Subject, *, tn: bool = False) -> list[Chapter]:
    """Classes that hold the set, with the number of their forms that do and the notes that each adds."""
    return [
        {"class": row.set_class.label, "times": row.times, "additions": [_texts(notes) for notes in row.additions]}
        for row in outsides(shown, tn=tn)
    ]


def relations(shown: Subject, *, alike: int = 5) -> Chapter:
    """Sets one small move away, with the note that moves, splits or merges; and the classes most like it."""
    if not shown.pcset:
        return {"neighbours": [], "alike": [], "k": [], "kh": []}
    neighbours = [
        {"kind": n.kind, "what": n.sentence, "label": n.label, "notes": _texts(n.notes), "scale": n.scale or None}
        for n in kin(shown).neighbours
    ]
    likenesses = [
        {
            "class": one.set_class.label,
            "icvsim": one.icvsim,
            "asim": one.asim,
            "angle_degrees": one.angle_degrees,
            "fourier": one.fourier,
            "semitones": one.semitones,
            "reasons": list(one.reasons),
        }
        for one in most_alike(shown, limit=alike)
    ]
    whole = shown.pcset.set_class
    nexus = 3 <= shown.pcset.cardinality <= 9
    return {
        "neighbours": neighbours,
        "alike": likenesses,
        "k": [one.label for one in k_complex(whole)] if nexus else [],
        "kh": [one.label for one in kh_complex(whole)] if nexus else [],
    }


def names(
    s: PcSet,
    *,
    bass: int | None = None,
    style: Style = "maj7",
    pinned: tuple[str, ...] = (),
    called: tuple[Spelled, ...] = (),
) -> Chapter:
    """Chord readings, two chords stacked, interval stacks, and the scales that hold the set, each best first."""
    if not 3 <= len(s) <= 8:
        return {
            "readings": [],
            "why": "Chords are named for 3 to 8 notes.",
            "stacked": [],
            "stacks": [],
            "scales": [],
        }
    found = name_set(s, bass=bass, pinned=pinned, style=style, within=called)
    readings = [
        {
            "symbol": r.chord.symbol_in(style),
            "pinned": r.pinned,
            "root": r.root.text,
            "members": {note.text: degree for note, degree in r.members},
            "omitted": list(r.omitted),
            "cost": asdict(r.cost) | {"total": r.cost.total},
        }
        for r in found.readings
    ]
    return {
        "readings": readings,
        "why": found.why,
        "stacked": [{"name": two.name, "distance": two.distance, "interval": two.interval} for two in found.stacked],
        "stacks": [stack.name for stack in found.stacks],
        "scales": [inside.name for inside in found.scales],
    }


def typed_names(shown: Subject) -> tuple[Spelled, ...]:
    """The names of a set's notes that were typed, or come of what was: for a class or numbers, none."""
    return shown.notes if shown.is_named else ()


def holders(s: PcSet, family: Family) -> Chapter:
    """Members of a family that hold the set, by kind, with their roots."""
    rows = [
        {"kind": one.kind.name, "times": one.times, "roots": _texts(one.roots)}
        for one in (family.holdings(s) if s else ())
        if one.times
    ]
    return {"name": family.name, "members": len(family), "holding": rows}
