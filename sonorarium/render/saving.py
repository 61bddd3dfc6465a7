"""A sheet out to a file of any kind, by its suffix: notation, MIDI, sound, pictures, print.

========================  =========================================================
suffix                    what is written
========================  =========================================================
.musicxml .xml            MusicXML 4.0 (`sonorarium.render.musicxml`)
.mid                      a Standard MIDI File
.wav .flac .opus .ogg     sound, at the moderate level of `sonorarium.render.sound`
.svg .png .pdf            the sheet engraved, text as outlines
========================  =========================================================

Every file is written whole: under a temporary name, then moved into place.
"""

from __future__ import annotations

import tempfile
from fractions import Fraction
from math import lcm
from pathlib import Path

from sonorarium.errors import InputError
from sonorarium.files import write_whole
from sonorarium.render.engraving import Engraving, PassageLook, engrave_passage
from sonorarium.render.musicxml import to_musicxml
from sonorarium.render.performance import TEMPO_QPM, Performance, Player, Tone
from sonorarium.render.sheet import Event, Sheet
from sonorarium.render.sound import Clip, save
from sonorarium.render.typesetting import PAPER, paint, typeset
from sonorarium.score.reading import read_score

NOTATION = (".musicxml", ".xml")
SOUNDS = (".mid", ".wav", ".flac", ".opus", ".ogg")
PICTURES = (".svg", ".png", ".pdf")
PICTURE_PX = 2400
"""Width of a PNG."""

_NATURAL = (0, 2, 4, 5, 7, 9, 11)


def save_sheet(sheet: Sheet, path: Path, *, soundfont: str | None = None) -> Clip | None:
    """Write a sheet to a file, by its suffix.

    Parameters
    ----------
    sheet : Sheet
    path : Path
        One of the suffixes above.
    soundfont : str, optional
        Another SoundFont for sound.

    Returns
    -------
    Clip or None
        The sound that was written, where it was sound.

    Raises
    ------
    InputError
        Where the suffix is unknown or the place cannot be written to.
    """
    suffix = path.suffix.lower()
    if suffix in SOUNDS:
        return save(play_sheet(sheet), path, soundfont=soundfont)
    if suffix in NOTATION:
        write_whole(path, to_musicxml(sheet))
    elif suffix in PICTURES:
        write_whole(path, _picture(sheet, suffix))
    else:
        known = " ".join((*NOTATION, *SOUNDS, *PICTURES))
        raise InputError(f"{path.name} has no known suffix.", value=path, suggestion=f"Use one of: {known}.")
    return None


def play_sheet(sheet: Sheet) -> Performance:
    """Play a sheet: every part on its own instrument, in sounding pitch, at the sheet's tempo or the usual one.

    Examples
    --------
    >>> from sonorarium.pcs.spelling import Spelled
    >>> from sonorarium.pitch.voicing import Voicing
    >>> from sonorarium.render.sheet import sheet_of_voicings
    >>> names = [Spelled(0), Spelled(2), Spelled(4)]
    >>> [tone.pitch for tone in play_sheet(sheet_of_voicings([Voicing((48, 55, 64))], names)).tones]
    [64, 48, 55]
    """
    voices = [
        (number, voice) for number, part in enumerate(sheet.parts) for staff in part.staves for voice in staff.voices
    ]
    ticks = lcm(*(event.quarters.denominator for _, voice in voices for event in voice), 1)
    tones = [tone for number, voice in voices for tone in _tones(voice, number, ticks)]
    players = tuple(Player(part.name, part.player.program) for part in sheet.parts)
    return Performance(tuple(tones), players, sheet.tempo_qpm or TEMPO_QPM, ticks)


def _tones(voice: tuple[Event, ...], player: int, ticks: int) -> list[Tone]:
    tones, onset = [], Fraction(0)
    for event in voice:
        for step, alter, octave in event.pitches:
            pitch = 12 * (octave + 1) + _NATURAL[step] + alter
            tones.append(Tone(int(onset * ticks), int(event.quarters * ticks), pitch, player=player))
        onset += event.quarters
    return tones


USUAL_LOOK = PassageLook()


def engrave_sheet(sheet: Sheet, *, look: PassageLook = USUAL_LOOK) -> Engraving:
    """Engrave a whole sheet as one drawing."""
    with tempfile.TemporaryDirectory(prefix="sonorarium-sheet-") as folder:
        place = Path(folder) / "sheet.musicxml"
        place.write_bytes(to_musicxml(sheet))
        score = read_score(place)
        return engrave_passage(score, 0, len(score.bars) - 1, look=look)


def _picture(sheet: Sheet, suffix: str) -> bytes:
    drawing = engrave_sheet(sheet, look=PassageLook(outlined=suffix != ".pdf"))
    if suffix == ".svg":
        return drawing.svg.encode()
    if suffix == ".png":
        return paint(drawing.svg, PICTURE_PX, paper=PAPER)
    source = f'#set page(paper: "a4", margin: 20mm)\n#image("sheet.svg", width: {min(drawing.width_mm, 170):.1f}mm)'
    return typeset(source, {"sheet.svg": drawing.svg.encode()})
