"""German note names turned into English ones, for whoever asks for it.

In German H is the note a semitone under C and B the one under it; -is raises, -es lowers, with Es, As and their
doubles contracted (common practice). Because ``B`` means another note in each language, German is never guessed: it
is an option of `sonorarium.pcs.reading.read_set`. ``Dur`` and ``Moll`` are read as major and minor.

Names are turned where a note name may stand: everywhere in a list of notes, and else at the beginning, after a slash
or a bar between two chords, and after "over", "on" and "of".
"""

from __future__ import annotations

import re

_NAME = r"(?:as(?:as|es)?|es(?:es)?|[a-h](?:isis|is|eses|es)?)"
_ENGLISH = re.compile(r"([A-Ga-g])(b{0,3}|#{0,3})(-?\d)?")
_ENGLISH_B = re.compile(r"(^\{?|[/|]\s*|\b(?:over|on|of|in)\s+)B(?!b)")
_NOTE = re.compile(rf"({_NAME})(-?\d)?", re.IGNORECASE)
# After a root: the end, a sign, or a chord quality; so that the h of "harmonic minor" stays a letter.
_AFTER = r"(?=$|[^A-Za-z]|[mM](?![a-z])|ma|mi|Ma|Mi|dim|aug|sus|add|alt|omit|no\d|o\d|j\d)"
_ROOT = re.compile(rf"(^|[/|]\s*|\b(?:over|on|of|in)\s+)({_NAME}){_AFTER}", re.IGNORECASE)


def from_german(text: str) -> str:
    """Turn German note names into English ones.

    >>> from_german("Es B H Fis"), from_german("Heses"), from_german("es-Moll"), from_german("B7 over H")
    ('Eb Bb B F#', 'Bbb', 'Eb minor', 'Bb7 over B')
    >>> from_german("Asus4"), from_german("As7/C"), from_german("B dorian")
    ('Asus4', 'Ab7/C', 'Bb dorian')
    """
    words = re.split(r"([\s,;]+)", re.sub(r"^\{|\}$", "", text.strip()))
    notes = [_NOTE.fullmatch(word) for word in words[::2]]
    if all(notes):
        english = [_english(note[1]) + (note[2] or "") for note in notes if note]
        plain = "".join(part for pair in zip(english, [*words[1::2], ""], strict=True) for part in pair)
        return f"{{{plain}}}" if text.strip().startswith("{") else plain
    plain = re.sub(r"[\s-]+dur\b", " major", text.strip(), flags=re.IGNORECASE)
    plain = re.sub(r"[\s-]+moll\b", " minor", plain, flags=re.IGNORECASE)
    return _ROOT.sub(lambda found: found[1] + _english(found[2]), plain)


def _english(name: str) -> str:
    letter, ending = name[0].upper(), name[1:].lower()
    alter = ending.count("is") - (ending.count("s") if "is" not in ending else 0)
    if letter == "B":
        alter -= 1
    letter = "B" if letter == "H" else letter
    return letter + ("#" * alter if alter > 0 else "b" * -alter)


def to_german(text: str) -> str:
    """Turn English note names into German ones, so that `from_german` gives the text back.

    Where names stand among other words only B is turned: all others are read in both languages.

    >>> to_german("Eb Bb B F#"), to_german("{C7}"), to_german("B7 over Bb"), to_german("B double harmonic")
    ('Es B H Fis', '{C7}', 'H7 over Bb', 'H double harmonic')
    """
    words = re.split(r"([\s,;{}]+)", text.strip())
    notes = [_ENGLISH.fullmatch(word) for word in words]
    if all(note or not re.search(r"\w", word) for note, word in zip(notes, words, strict=True)):
        return "".join(_german(note) if note else word for note, word in zip(notes, words, strict=True))
    return _ENGLISH_B.sub(r"\1H", text.strip())


def _german(note: re.Match[str]) -> str:
    letter, signs, octave = note[1].upper(), note[2], note[3] or ""
    if letter == "B":
        letter, signs = ("B", "") if signs == "b" else ("H", signs)
    ending = "is" * len(signs) if "#" in signs else "es" * len(signs)
    if letter in "AE" and signs.startswith("b"):
        ending = ending[1:]
    return letter + ending + octave
