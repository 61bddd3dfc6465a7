"""Drafts: the latest are kept, older ones are let go with a sentence."""

from __future__ import annotations

import pytest

from sonorarium.errors import NothingFoundError
from sonorarium.web.drafts import DRAFTS_KEPT, Drafts


def test_only_the_latest_drafts_are_kept() -> None:
    drafts = Drafts()
    keys = [drafts.add(str(number)) for number in range(DRAFTS_KEPT + 1)]
    assert drafts.page(keys[-1]) == str(DRAFTS_KEPT)
    with pytest.raises(NothingFoundError):
        drafts.page(keys[0])
