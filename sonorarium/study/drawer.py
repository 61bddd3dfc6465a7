"""Drawers: the cards of one kind in a folder of a study, read, added to, and changed without losing anything.

* Each card is a file of its own, ``something.md``. Its name is for the eye; what it is about stands in its head, so
  the owner may rename it.
* A card is written under a temporary name and moved into place, so a crash at any instant leaves the old card or the
  new one. What a killed writer left behind under a temporary name is cleared away by the next writer.
* A card that cannot be read is named with the reason; the others are there all the same, and it is never written to.
* Before a card is changed it is read anew under the study's lock (`sonorarium.study.locking`), so a change made
  outside in the meantime is joined with ours, or ours is refused with a sentence (`sonorarium.study.card.merged`).
"""

from __future__ import annotations

import contextlib
import hashlib
import re
from collections.abc import Callable, Iterator
from dataclasses import dataclass
from pathlib import Path

from sonorarium.errors import DamagedError, InputError
from sonorarium.files import write_whole
from sonorarium.study.card import MOST_BYTES, Card, merged, read_card, stem_of
from sonorarium.study.folder import Study
from sonorarium.study.locking import PATIENCE_S, writing

SUFFIX = ".md"
_LEFT_BEHIND = re.compile(r"\.[^/]+\.md\.[a-z0-9_]{8}")
"""Temporary names of `sonorarium.files.write_whole`, for cards."""


@dataclass(frozen=True)
class Filed:
    """A card in its file.

    Parameters
    ----------
    path : Path
    card : Card
    digest : str
        SHA-256 of the file's bytes, by which a change made outside is noticed.
    """

    path: Path
    card: Card
    digest: str


@dataclass(frozen=True)
class Unread:
    """A file among the cards that is none.

    Parameters
    ----------
    path : Path
    reason : str
        One sentence.
    """

    path: Path
    reason: str


@dataclass(frozen=True)
class Contents:
    """What is in a drawer.

    Parameters
    ----------
    filed : tuple of Filed
        By name.
    unread : tuple of Unread
        What could not be read, and why.
    """

    filed: tuple[Filed, ...]
    unread: tuple[Unread, ...] = ()


@dataclass(frozen=True)
class Drawer:
    """The cards of one kind.

    Parameters
    ----------
    study : Study
    name : str
        Its folder inside the study.
    once : tuple of str
        Keys that stand in a head at most once.
    needs : tuple of str
        Keys without which a card is none of this kind.
    patience_s : float
        Seconds to wait for another writer.
    """

    study: Study
    name: str
    once: tuple[str, ...] = ()
    needs: tuple[str, ...] = ()
    patience_s: float = PATIENCE_S

    @property
    def folder(self) -> Path:
        """Its folder."""
        return self.study.folder / self.name

    def contents(self) -> Contents:
        """Every card, by name, and what could not be read."""
        filed: list[Filed] = []
        unread: list[Unread] = []
        for path in self._files():
            try:
                filed.append(self.read(path))
            except FileNotFoundError:
                continue  # taken away since the folder was listed
            except DamagedError as error:
                unread.append(Unread(path, str(error)))
        return Contents(tuple(filed), tuple(unread))

    def _files(self) -> Iterator[Path]:
        if self.folder.is_dir():
            found = (path for path in self.folder.glob(f"*{SUFFIX}") if path.name[0] != "." and path.is_file())
            yield from sorted(filter(self.study.holds, found), key=lambda path: path.stem)

    def read(self, path: Path) -> Filed:
        """Read one card.

        Raises
        ------
        DamagedError
            Where it is no card of this kind; the sentence names the file.
        FileNotFoundError
            Where it is gone.
        """
        data = _bytes_of(path)
        try:
            card = read_card(data.decode("utf-8"), once=self.once)
        except UnicodeDecodeError:
            raise DamagedError(f"{path}: this is not UTF-8 text.", value=path) from None
        except DamagedError as error:
            raise DamagedError(f"{path}: {error.sentence}", value=path, suggestion=error.suggestion) from error
        for key in self.needs:
            if not card.value(key):
                raise DamagedError(f"{path}: the card has no {key!r}.", value=path, suggestion=f"Write {key}: …")
        return Filed(path, card, hashlib.sha256(data).hexdigest())

    def add(self, stem: str, card: Card) -> Filed:
        """Put a new card into the drawer, under a name that is free; raises `InputError` where it cannot be."""
        with self._held():
            return self._add(stem, card)

    def _add(self, stem: str, card: Card) -> Filed:
        return self._write(self.folder / free_name(self.folder, stem_of(stem), SUFFIX), card)

    def change(self, which: Callable[[Card], bool], how: Callable[[Card], Card], *, stem: str, new: Card) -> Filed:
        """Change the first card of which something is true, or add one.

        Parameters
        ----------
        which : callable
            Whether this is the card.
        how : callable
            From the card as it stands now to the card as it shall be.
        stem : str
            Name of a new card, where there is none yet.
        new : Card
            What a new card holds before it is changed.

        Raises
        ------
        InputError
            Where another program keeps the study to itself, or it cannot be written to.
        """
        with self._held():
            for filed in self.contents().filed:
                if which(filed.card):
                    return self._write(filed.path, how(filed.card), seen=filed)
            return self._add(stem, how(new))

    def save(self, seen: Filed, card: Card) -> Filed:
        """Write a card that was read some time ago.

        Parameters
        ----------
        seen : Filed
            As it was read.
        card : Card
            As it shall be.

        Raises
        ------
        InputError
            Where the card has been taken away or was changed outside in a way that cannot be joined with this change;
            nothing is written then.
        """
        with self._held():
            try:
                now = self.read(seen.path)
            except FileNotFoundError:
                raise InputError(
                    f"{seen.path} has been taken away in the meantime.",
                    value=seen.path,
                    suggestion="Nothing was written. Keep the thing anew if you want it back.",
                ) from None
            whole = card if now.digest == seen.digest else merged(seen.card, card, now.card)
            return self._write(seen.path, whole, seen=now)

    def _write(self, path: Path, card: Card, seen: Filed | None = None) -> Filed:
        if seen is not None and card == seen.card:
            return seen
        data = card.text.encode()
        if len(data) > MOST_BYTES:
            raise InputError(f"{path} would grow beyond {MOST_BYTES >> 20} MiB.", suggestion="Begin another card.")
        write_whole(path, data)
        return Filed(path, card, hashlib.sha256(data).hexdigest())

    @contextlib.contextmanager
    def _held(self) -> Iterator[None]:
        """Hold the study's lock, with what killed writers left behind cleared away."""
        with writing(self.study.folder, patience_s=self.patience_s):
            if self.folder.is_dir():
                clear_left_behind(self.folder)
            yield


def clear_left_behind(folder: Path) -> None:
    """Clear away temporary cards of writers that were killed; only to be called by who holds the lock."""
    for path in folder.iterdir():
        if _LEFT_BEHIND.fullmatch(path.name):
            path.unlink(missing_ok=True)


def free_name(folder: Path, stem: str, suffix: str) -> str:
    """A file name that is not taken: ``stem.md``, else ``stem-2.md`` and so on; case does not tell names apart."""
    taken = {path.name.lower() for path in folder.iterdir()} if folder.is_dir() else set()
    name, number = f"{stem}{suffix}", 1
    while name.lower() in taken:
        number += 1
        name = f"{stem}-{number}{suffix}"
    return name


def _bytes_of(path: Path) -> bytes:
    try:
        if path.stat().st_size > MOST_BYTES:
            raise DamagedError(f"{path} has more than {MOST_BYTES >> 20} MiB: it is no card.", value=path)
        return path.read_bytes()
    except FileNotFoundError:
        raise
    except OSError as error:
        raise DamagedError(f"{path} could not be read: {error.strerror}.", value=path) from error
