"""The options of a tracing and their ranges."""

from __future__ import annotations

from dataclasses import fields
from typing import Any

import pytest

from sonorarium.errors import InputError
from sonorarium.score.analysis.tracemodel import TraceOptions


@pytest.mark.parametrize(
    ("name", "value"),
    [
        ("foreign", 0.0),
        ("foreign", 0.7),
        ("none_size", 3),
        ("evidence", 0),
        ("change", 1),
        ("claim", -1),
        ("metrical", 2),
    ],
)
def test_a_number_outside_its_range_is_refused(name: str, value: float) -> None:
    wrong: dict[str, Any] = {name: value}
    with pytest.raises(InputError, match=f"The option {name} cannot be"):
        TraceOptions(**wrong)


def test_every_option_is_documented() -> None:
    words = TraceOptions.__doc__ or ""
    assert [field.name for field in fields(TraceOptions) if f"    {field.name} : float" not in words] == []
