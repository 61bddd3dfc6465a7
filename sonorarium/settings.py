"""Settings: one frozen object, declared once, read from one TOML file where the user's system keeps such files.

The file is ``settings.toml`` in the folder that ``sonorarium settings`` names, or the file that the environment
variable SONORARIUM_SETTINGS names. An option of a command goes before the file.
"""

from __future__ import annotations

import os
import tomllib
from collections.abc import Mapping
from dataclasses import dataclass, fields
from pathlib import Path
from typing import Any, get_args

from sonorarium.errors import InputError
from sonorarium.pcs.chordquality import Style

VARIABLE = "SONORARIUM_SETTINGS"

HELP: Mapping[str, str] = {
    "chord_style": "How a major seventh is written in chord symbols: maj7, M7 or Δ.",
    "pinned": "Chord symbols that are to come first wherever they say exactly the set: a list of texts.",
    "german": "Whether note names are typed in German (H, Es, Fis): true or false.",
    "family": "The family of sister scales, by its name, or a TOML file of one's own.",
    "soundfont": "Another SoundFont (.sf2) for sound.",
}
"""What each setting means."""


@dataclass(frozen=True)
class Settings:
    """What a person has chosen for all commands; the meaning of each is in `HELP`."""

    chord_style: Style = "maj7"
    pinned: tuple[str, ...] = ()
    german: bool = False
    family: str = "spaced"
    soundfont: str = ""


def settings_file() -> Path:
    """Where the settings are read from; the file need not be there."""
    import platformdirs

    named = os.environ.get(VARIABLE)
    return Path(named) if named else platformdirs.user_config_path("sonorarium") / "settings.toml"


def read_settings(path: Path | None = None) -> Settings:
    """Read the settings.

    Parameters
    ----------
    path : Path, optional
        The file; by default `settings_file`. Where there is none, every setting has its default.

    Raises
    ------
    InputError
        Where the file is no TOML, names an unknown setting, or gives one a value it cannot have.
    """
    place = path or settings_file()
    try:
        told = tomllib.loads(place.read_text(encoding="utf-8"))
    except FileNotFoundError:
        return Settings()
    except (tomllib.TOMLDecodeError, UnicodeDecodeError, OSError) as error:
        raise InputError(f"The settings {place} could not be read: {error}.", value=place) from error
    return Settings(**{key: _checked(place, key, value) for key, value in told.items()})


def _checked(place: Path, key: str, value: object) -> Any:
    known = {field.name: field.default for field in fields(Settings)}
    if key not in known:
        raise InputError(
            f"{place}: there is no setting {key!r}.", value=key, suggestion=f"There are: {', '.join(known)}."
        )
    if isinstance(known[key], tuple):
        if isinstance(value, list) and all(isinstance(one, str) for one in value):
            return tuple(value)
    elif type(value) is type(known[key]) and (key != "chord_style" or value in get_args(Style)):
        return value
    raise InputError(f"{place}: {key} cannot be {value!r}.", value=value, suggestion=HELP[key])
