"""The text of an ABC file, cut into tunes and voices, before anything in it is taken for music.

Conventions
-----------
* A tune begins with a line ``X:`` and ends at the next one or at an empty line. What stands before the first tune
  is the header of the file and holds for all.
* A voice is what follows a line ``V:`` or an inline ``[V:…]``, up to the next one; music before all of them belongs
  to the first voice that the header declares, else it is a voice of its own. Fields before all voices hold for all.

Source: *The abc music standard 2.1* (December 2011), sections 2.2, 3, 4 and 7.
"""

from __future__ import annotations

import re
from dataclasses import dataclass

from sonorarium.score.written.heading import Heading

_BEGIN = re.compile(r"^X:", re.M)
_RIGHTS = re.compile(r"^(?:%%|I:)\s*abc-copyright\s+(.+)$", re.M)
FIELD = re.compile(r"[A-Za-z+]:(?![|:])")
"""The beginning of a line that is a field, not music."""

_VOICE = re.compile(r"\[V:([^\]]*)\]")
_NAME = re.compile(r'(?:name|nm)\s*=\s*(?:"([^"]*)"|(\S+))')
_MAIL = re.compile(r"=(?:3D|20|0D)|(?<!=)=\n(?![A-Za-z+]:|%)")
MAIL_ENCODING = "Mail programs had changed the text (=20, =3D and the like): this was undone."
_QUOTED = re.compile(r'%.*|"[^"\n]*"|\[[A-Za-z]:[^\]\n]*\]', re.M)


@dataclass(frozen=True)
class VoiceText:
    """One voice of a tune.

    Parameters
    ----------
    name : str
        As printed, or its identifier; "" where the tune has no voices.
    lines : tuple of str
        What the header says of metre, unit length and key, and the voice's own lines.
    """

    name: str
    lines: tuple[str, ...]


@dataclass(frozen=True)
class Tune:
    """The text of one tune.

    Parameters
    ----------
    number : str
        From ``X:``.
    header : tuple of str
        Its lines up to and with the key.
    body : tuple of str
        Its lines of music and what stands among them.
    """

    number: str
    header: tuple[str, ...]
    body: tuple[str, ...]

    @property
    def title(self) -> str:
        """First title, "" where there is none."""
        return next(filter(None, self.field("T")), "")

    def field(self, letter: str) -> list[str]:
        """Return the contents of a field of the header."""
        lines = (line for line in self.header if line.startswith(f"{letter}:"))
        return [" ".join(line[2:].partition("%")[0].split()) for line in lines]

    def voices(self) -> list[VoiceText]:
        r"""Return each voice.

        Examples
        --------
        >>> tune = tunes_of('X:1\nK:C\nV:1 name="Alto"\nC|\nV:2\nE|\n[V:1] D|[V:2] F|')[0]
        >>> [(voice.name, voice.lines[1:]) for voice in tune.voices()]
        [('Alto', ('V:1 name="Alto"', 'C|', 'V:1', ' D|')), ('2', ('V:2', 'E|', 'V:2', ' F|'))]
        """
        own: dict[str, list[str]] = {}
        names: dict[str, str] = {}
        for content in self.field("V"):
            _declare(content, own, names)
        current = next(iter(own), "")
        common = [line for line in self.header if line.startswith(("M:", "L:", "K:", "%%MIDI"))]
        for line in self.body:
            before, *changes = _VOICE.split(f"[{line}]" if line.startswith("V:") else line)
            if before.strip():
                own.setdefault(current, []).append(before)
            for content, music in zip(changes[::2], changes[1::2], strict=True):
                current = _declare(content, own, names)
                own[current] += [music] if music.strip() else []
        if len(own) > 1 and not _has_notes(own.get("", [])):
            common += own.pop("", [])
        used = {voice: lines for voice, lines in own.items() if _has_notes(lines)} or {"": []}
        return [VoiceText(names.get(voice, ""), (*common, *lines)) for voice, lines in used.items()]


def _declare(content: str, own: dict[str, list[str]], names: dict[str, str]) -> str:
    """Take up a voice; return its identifier."""
    words = content.partition("%")[0].split()
    voice = words[0] if words else ""
    own.setdefault(voice, []).append(f"V:{content}")
    name = _NAME.search(content)
    names[voice] = (name[1] or name[2]) if name else names.get(voice, voice)
    return voice


def _has_notes(lines: list[str]) -> bool:
    music = "\n".join(line for line in lines if not FIELD.match(line))
    return bool(re.search("[A-Ga-gz]", _QUOTED.sub(" ", music)))


def without_mail_encoding(text: str) -> str:
    r"""Undo what mail programs did to a file: ``=3D`` for an equals sign, ``=`` at the end of a line that goes on.

    Neither can be ABC, where an equals sign stands before a note.

    >>> without_mail_encoding("=3DF G=20\nA =\nB=0D\n")
    '=F G \nA B\n'
    """
    return _MAIL.sub(lambda found: {"=3D": "=", "=20": " "}.get(found[0], ""), text)


def file_header(text: str) -> str:
    r"""Return the fields before the first tune, with a line end.

    >>> file_header("%abc-2.1\nM:3/4\nSome words.\n\nX:1\nK:C\n")
    'M:3/4\n'
    """
    begin = _BEGIN.search(text)
    lines = text[: begin.start() if begin else 0].split("\n")
    return "".join(f"{line}\n" for line in lines if FIELD.match(line) or line.startswith("%%"))


def tunes_of(text: str) -> list[Tune]:
    r"""Return the tunes of a file.

    >>> [(tune.number, tune.title, tune.body) for tune in tunes_of("X: 7 %old\nT:Air\nK:G\nGAB|\n\nwords\n")]
    [('7', 'Air', ('GAB|',))]
    """
    tunes = []
    for chunk in _BEGIN.split(text)[1:]:
        lines = f"X:{chunk}".split("\n")
        end = next((place for place, line in enumerate(lines) if place and not line.strip()), len(lines))
        lines = lines[:end]
        key = next((place for place, line in enumerate(lines) if line.startswith("K:")), len(lines) - 1)
        number = lines[0][2:].partition("%")[0].strip()
        tunes.append(Tune(number, tuple(lines[: key + 1]), tuple(lines[key + 1 :])))
    return tunes


def abc_heading(text: str) -> Heading:
    r"""Return what the fields of the first tune, and of the file, say.

    Examples
    --------
    >>> abc_heading("X:1\nT:The Lark\nC:Trad.\nZ:A clerk\nK:G\nG4|\nX:2\nT:The Wren\nK:D\nD4|\n")
    Heading(title='The Lark, and 1 more tune', composer='Trad.', rights='', encoder='A clerk', date='')
    """
    tunes = tunes_of(text)
    header = tuple(file_header(text).split("\n"))
    first = Tune("", (*tunes[0].header, *header), ()) if tunes else Tune("", header, ())
    more = len(tunes) - 1
    title = first.title + (f", and {more} more tune{'s' if more > 1 else ''}" if more > 0 else "")
    rights = _RIGHTS.search(text)
    composers, encoders = (", ".join(dict.fromkeys(filter(None, first.field(one)))) for one in "CZ")
    return Heading(title.removeprefix(", "), composers, rights[1].strip() if rights else "", encoders)
