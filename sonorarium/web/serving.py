"""Serving the workbench to this computer: one port on the loopback address, and no other."""

from __future__ import annotations

import secrets
import socket
from collections.abc import Callable, Iterable
from pathlib import Path

import uvicorn

from sonorarium.errors import InputError
from sonorarium.settings import read_settings
from sonorarium.shelf.shelf import Shelf
from sonorarium.study.folder import Study
from sonorarium.web.app import make_app
from sonorarium.web.guard import Gate
from sonorarium.web.room import Room
from sonorarium.web.warming import warm_beside

LOOPBACK = "127.0.0.1"
USUAL_PORT = 8642


def listen(port: int) -> socket.socket:
    """A socket on the loopback address, listening.

    Parameters
    ----------
    port : int
        0 for any that is free.

    Raises
    ------
    InputError
        Where the port is taken or may not be used.
    """
    listening = socket.socket(socket.AF_INET, socket.SOCK_STREAM)
    listening.setsockopt(socket.SOL_SOCKET, socket.SO_REUSEADDR, 1)
    try:
        listening.bind((LOOPBACK, port))
        listening.listen(512)
    except (OSError, OverflowError) as error:
        listening.close()
        raise InputError(
            f"Port {port} cannot be used: {getattr(error, 'strerror', None) or error}.",
            value=port,
            suggestion="Is the workbench open already? Otherwise choose another with --port, or 0 for any.",
        ) from error
    return listening


def serve(
    study: Study,
    shelf: Shelf,
    *,
    folders: Iterable[Path] = (),
    port: int = USUAL_PORT,
    opened: Callable[[str], None] = lambda url: None,
) -> None:
    """Serve the workbench until it is interrupted.

    Parameters
    ----------
    study : Study
    shelf : Shelf
    folders : iterable of Path
        Folders of scores that may be put on the shelf.
    port : int
        0 for any that is free.
    opened : callable
        Given the address as soon as it is served.

    Raises
    ------
    InputError
        Where a folder is not there, or the port cannot be used.
    """
    named = tuple(folder.resolve() for folder in folders)
    for folder in named:
        if not folder.is_dir():
            raise InputError(f"There is no folder {folder}.", value=str(folder))
    listening = listen(port)
    gate = Gate(listening.getsockname()[1], secrets.token_urlsafe(24))
    room = Room(study, shelf, gate, read_settings(), named)
    app = make_app(room)
    server = uvicorn.Server(uvicorn.Config(app, log_level="warning", access_log=False, timeout_graceful_shutdown=3))
    warm_beside(room)
    opened(f"http://{gate.hosts[0]}/")
    try:
        server.run(sockets=[listening])
    finally:
        listening.close()
