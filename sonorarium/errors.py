"""What can go wrong, and how it is said.

::

    SonorariumError          anything this program refuses, in one clear sentence
    ├── InputError           what was typed could not be understood     (exit status 2)
    │   └── ClaimError       a statement about a set is false or cannot be checked
    ├── DamagedError         a file could not be read                    (exit status 3)
    ├── NothingFoundError    the question was good, the answer is empty  (exit status 1)
    └── ToolError            an outside renderer failed or is missing    (exit status 4)

Each error carries the offending value, the rule it broke and, where there is one, a suggestion. The same
object becomes an exit status, a sentence on a page, or an HTTP answer.
"""

from __future__ import annotations


class SonorariumError(Exception):
    """Root of everything that Sonorarium raises on purpose.

    Parameters
    ----------
    sentence : str
        What is wrong, where, in one sentence for the person at the desk.
    value : object, optional
        The offending value, kept for programs.
    suggestion : str, optional
        What to do, or the nearest readings; appended to the sentence when shown.
    near : tuple of str, optional
        Texts close to the one refused that would have been understood.
    """

    exit_status = 1

    def __init__(
        self, sentence: str, *, value: object = None, suggestion: str = "", near: tuple[str, ...] = ()
    ) -> None:
        super().__init__(sentence)
        self.sentence = sentence
        self.value = value
        self.suggestion = suggestion
        self.near = near

    def __str__(self) -> str:
        return f"{self.sentence} {self.suggestion}".strip()


class InputError(SonorariumError, ValueError):
    """What was typed or passed in could not be understood."""

    exit_status = 2


class ClaimError(InputError):
    """A statement about a set is false, or cannot be checked."""


class DamagedError(SonorariumError):
    """A file is damaged or is not what its name says."""

    exit_status = 3


class NothingFoundError(SonorariumError):
    """The question was understood; nothing answers it."""

    exit_status = 1


class ToolError(SonorariumError):
    """An outside renderer (engraving, sound, PDF) failed or is missing."""

    exit_status = 4
