"""``sonorarium settings``: where the settings are kept, what they are now, and what each means."""

from __future__ import annotations

from dataclasses import asdict

from sonorarium.cli.output import Json, console, print_json
from sonorarium.settings import HELP, read_settings, settings_file


def settings_command(as_json: Json = False) -> None:
    """Where the settings are kept, what they are now, and what each means."""
    place, now = settings_file(), asdict(read_settings())
    if as_json:
        print_json("settings", {"file": str(place), "settings": now, "meanings": dict(HELP)})
        return
    out = console()
    out.print(f"{place}{'' if place.exists() else ' (not there yet: every setting has its default)'}", soft_wrap=True)
    for name, value in now.items():
        out.print(f"  {name} = {value!r}\n      {HELP[name]}", soft_wrap=True)
