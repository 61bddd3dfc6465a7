"""The text of an ABC file, cut into tunes and voices, before anything in it is taken for music.

Conventions
-----------
* A tune begins with a line ``X:`` and ends at the next one or at an empty line. What stands before the first tune
  is the header of the file and holds for all.
* A voice is what follows a line ``V:`` or an inline ``[V:…]``, up to the next one. Music before the first of them
  belongs to the first voice. Fields in the header, and lines of metre, key and unit length in the body that stand
  outside any voice, hold for all voices.

Source: *The abc music standard 2.1* (December 2011), sections 2.2, 3, 4 and 7.
"""

from __future__ import annotations

import re
from dataclasses import dataclass

from sonorarium.score.heading import Heading

_BEGIN = re.compile(r"^X:", re.M)
_RIGHTS = re.compile(r"^(?:%%|I:)\s*abc-copyright\s+(.+)$", re.M)
_FIELD = re.compile(r"^[A-Za-z+]:")
_INLINE_VOICE = re.compile(r"\[V:([^\]]*)\]")
_NAME = re.compile(r'(?:name|nm)\s*=\s*(?:"([^"]*)"|(\S+))')
_NOT_MUSIC = re.compile(
    r'\\?%.*|"[^"\n]*"|![^!\n|]*!|\+[a-zA-Z.()<>]+\+|\[[A-Za-z]:[^\]\n]*\]|^\s*(?:[A-Za-z+]:|%%).*', re.M
)
_NOTE = re.compile(r"[A-Ga-g]")
_DECORATION = re.compile(r"![A-Za-z0-9+<>().,^_]+!")
_BAR_LINE_LAST = re.compile(r"[|\]:]\s*$")
OLD_BREAK = "A single ! (a line break of old ABC) was left out."
NO_LAST_BAR_LINE = "The tune does not end with a bar line: one was added."


@dataclass(frozen=True)
class VoiceText:
    """One voice of a tune as a tune of its own.

    Parameters
    ----------
    name : str
        As printed, or its identifier; "" where the tune has no voices.
    text : str
    """

    name: str
    text: str


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

    @property
    def written_notes(self) -> int:
        """Noteheads that it writes, grace notes among them."""
        return len(_NOTE.findall(_NOT_MUSIC.sub(" ", "\n".join(self.body))))

    def field(self, letter: str) -> list[str]:
        """Return the contents of a field of the header."""
        lines = (line for line in self.header if line.startswith(f"{letter}:"))
        return [" ".join(line[2:].partition("%")[0].split()) for line in lines]

    def voices(self) -> list[VoiceText]:
        r"""Return each voice as a tune of its own.

        Examples
        --------
        >>> tune = tunes_of('X:1\nK:C\nV:1 name="Alto"\nC|\nV:2\nE|\n[V:1] D|[V:2] F|')[0]
        >>> [(voice.name, voice.text.splitlines()[2:]) for voice in tune.voices()]
        [('Alto', ['C|', ' D|']), ('2', ['E|', ' F|'])]
        """
        own: dict[str, list[str]] = {}
        names: dict[str, str] = {}
        for content in self.field("V"):
            _declare(content, own, names)
        header = [line for line in self.header if not line.startswith("V:")]
        current = next(iter(own), "")
        common: list[str] = []
        for line in self.body:
            if line.startswith("V:"):
                current = _declare(line[2:], own, names)
                continue
            pieces = _INLINE_VOICE.split(line)
            if pieces[0].strip() or len(pieces) == 1:
                target = common if not current and _FIELD.match(line) else own.setdefault(current, [])
                target.append(pieces[0])
            for content, music in zip(pieces[1::2], pieces[2::2], strict=True):
                current = _declare(content, own, names)
                own[current].append(music)
        used = {voice: lines for voice, lines in own.items() if _has_notes(lines)}
        used = used or {"": list(self.body)}
        return [
            VoiceText(names.get(voice, ""), "\n".join([*header, *common, *lines, ""]))
            for voice, lines in used.items()
        ]


def repaired(voice: str) -> tuple[str, list[str]]:
    r"""Return the text of a voice without what the importer stumbles over, and what was repaired.

    Backquotes, which the standard lets readers skip, and single exclamation marks, by which old ABC ended lines, go;
    a last bar line is added, without which the importer loses the last bar.

    Examples
    --------
    >>> text, repairs = repaired("X:1\nK:C\nC```D|!\n!trill!EF\n")
    >>> text, repairs == [OLD_BREAK, NO_LAST_BAR_LINE]
    ('X:1\nK:C\nCD|\n!trill!EF |]\n', True)
    """
    repairs: list[str] = []
    lines = voice.rstrip().split("\n")
    for place, line in enumerate(lines):
        if not _FIELD.match(line) and not line.startswith("%"):
            lines[place] = _without_breaks(line, repairs).replace("`", "")
    last = max((place for place, line in enumerate(lines) if not _FIELD.match(line)), default=-1)
    if last >= 0 and not _BAR_LINE_LAST.search(lines[last].partition("%")[0]):
        lines[last] = f"{lines[last].partition('%')[0].rstrip()} |]"
        repairs.append(NO_LAST_BAR_LINE)
    return "\n".join([*lines, ""]), list(dict.fromkeys(repairs))


def _without_breaks(line: str, repairs: list[str]) -> str:
    """Return a line of music without exclamation marks that enclose no decoration."""
    pieces, end = [], 0
    for found in _DECORATION.finditer(line):
        pieces += [line[end : found.start()].replace("!", ""), found[0]]
        end = found.end()
    plain = "".join([*pieces, line[end:].replace("!", "")])
    if plain != line:
        repairs.append(OLD_BREAK)
    return plain


def _declare(content: str, own: dict[str, list[str]], names: dict[str, str]) -> str:
    """Take up a voice; return its identifier."""
    words = content.partition("%")[0].split()
    voice = words[0] if words else ""
    own.setdefault(voice, [])
    name = _NAME.search(content)
    names[voice] = (name[1] or name[2]) if name else names.get(voice, voice)
    return voice


def _has_notes(lines: list[str]) -> bool:
    return bool(_NOTE.search(_NOT_MUSIC.sub(" ", "\n".join(lines))))


def file_header(text: str) -> str:
    r"""Return the fields before the first tune, with a line end.

    >>> file_header("%abc-2.1\nM:3/4\nSome words.\n\nX:1\nK:C\n")
    'M:3/4\n'
    """
    begin = _BEGIN.search(text)
    lines = text[: begin.start() if begin else 0].split("\n")
    return "".join(f"{line}\n" for line in lines if _FIELD.match(line) or line.startswith("%%"))


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
