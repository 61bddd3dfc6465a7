"""The blocks that pass between directives and pages are plain values."""

from __future__ import annotations

from dataclasses import FrozenInstanceError

import pytest

from sonorarium.lesson.illustrations.blocks import Cell, Figure, Made, Table


def test_blocks_do_not_change() -> None:
    figure = Figure("<svg/>", "a drawing")
    with pytest.raises(FrozenInstanceError):
        figure.svg = ""  # type: ignore[misc]
    assert (figure.caption, figure.clip) == ("", None)


def test_a_table_keeps_its_rows_in_order() -> None:
    table = Table("One", ("a",), tuple((Cell(str(n)),) for n in range(3)))
    assert [row[0].text for row in Made((table,)).blocks[0].rows] == ["0", "1", "2"]  # type: ignore[union-attr]
