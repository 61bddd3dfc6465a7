"""Verdicts: what computation says of a statement.

A statement is **true**, **false**, or **not understood**. What can be read in several ways that lead to different
answers is not understood; it is never called false.
"""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from typing import Literal

Standing = Literal["true", "false", "not understood"]


@dataclass(frozen=True)
class Outcome:
    """What one reading of a statement comes to.

    Parameters
    ----------
    true : bool
    truth : str
        What is true, as a clause.
    by : str
        By which measure or convention, where that matters.
    sense : bool
        Whether somebody would say it in this reading; others are left aside where one makes sense.
    """

    true: bool
    truth: str
    by: str = ""
    sense: bool = True


@dataclass(frozen=True)
class Verdict:
    """What is said of a statement.

    Parameters
    ----------
    standing : {"true", "false", "not understood"}
    kind : str
        What sort of statement it is; empty where it was not understood.
    understood : str
        The statement as it was understood, its terms in angle brackets.
    truth : str
        What is true; for a statement not understood, why not.
    """

    standing: Standing
    kind: str = ""
    understood: str = ""
    truth: str = ""


NOT_UNDERSTOOD = Verdict("not understood", truth="no form of statement fits")
"""The verdict on what fits no form."""


def judge(kind: str, understood: str, outcomes: Iterable[Outcome]) -> Verdict:
    """Bring the outcomes of all readings of a statement together.

    >>> judge("inside", "<C> is inside <F major>", [Outcome(True, "so it is"), Outcome(False, "it is not")]).standing
    'not understood'
    """
    found = list(outcomes)
    found = [outcome for outcome in found if outcome.sense] or found
    if not found:
        return NOT_UNDERSTOOD
    if len({outcome.true for outcome in found}) > 1:
        return Verdict("not understood", kind, understood, "it can be read in several ways, some true and some not")
    first = found[0]
    shown = f"{understood} ({first.by})" if first.by else understood
    return Verdict("true" if first.true else "false", kind, shown, first.truth)
