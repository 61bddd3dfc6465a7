"""How the passages that were found are listed: in which order, and whether repeats are folded into one.

What is listed first is decided by one of:

* ``salience``: the best witness (`sonorarium.score.search.salience`); of equals by piece, then by place.
* ``teachability``: what is easiest to show a class (`sonorarium.score.search.teachability`); of equals the more
  salient.
* ``place``: by file, then from the beginning of the piece to its end.

Under all but ``place`` exact finds come before near ones, and the nearer come first.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal, TypeAlias, get_args

from sonorarium.errors import InputError

By: TypeAlias = Literal["salience", "teachability", "place"]
"""What decides the order."""

BY: tuple[By, ...] = get_args(By)


@dataclass(frozen=True)
class Listing:
    """How passages are listed.

    Parameters
    ----------
    by : {"salience", "teachability", "place"}
    fold : bool
        Whether repeats of a passage in its piece are folded into the one that comes first.

    Raises
    ------
    InputError
        Where there is no such order.
    """

    by: By = "salience"
    fold: bool = False

    def __post_init__(self) -> None:
        if self.by not in BY:
            raise InputError(
                f"Passages cannot be listed by {self.by!r}.", value=self.by, suggestion=f"Choose {', '.join(BY)}."
            )


BEST_FIRST = Listing()
"""By salience, repeats unfolded."""
