"""Drafts: the pages of lessons as they are being written, kept for the frame that shows them."""

from __future__ import annotations

import hashlib
import threading
from collections import OrderedDict

from sonorarium.errors import NothingFoundError

DRAFTS_KEPT = 12


class Drafts:
    """The pages of drafts drawn lately, by a key made of their content."""

    def __init__(self) -> None:
        self._lock = threading.Lock()
        self._pages: OrderedDict[str, str] = OrderedDict()

    def add(self, page: str) -> str:
        """Keep a page; gives its key."""
        key = hashlib.sha256(page.encode()).hexdigest()[:16]
        with self._lock:
            self._pages[key] = page
            self._pages.move_to_end(key)
            while len(self._pages) > DRAFTS_KEPT:
                self._pages.popitem(last=False)
        return key

    def page(self, key: str) -> str:
        """The page of a key; raises `NothingFoundError` where it is no longer kept."""
        with self._lock:
            found = self._pages.get(key)
        if found is None:
            raise NothingFoundError(
                "There is no such draft any more.", value=key, suggestion="Open the lesson again."
            )
        return found
