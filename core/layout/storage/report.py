"""What had to be said about a file that could be read."""

from dataclasses import dataclass
from typing import Literal

Outcome = Literal["clean", "mended", "incomplete"]


@dataclass(frozen=True, slots=True)
class LoadReport:
    """How a layout file was read.

    Attributes
    ----------
    fixed : tuple of str
        What was wrong and is right now in the layout (not in the file).
    unfixed : tuple of str
        What could not be shown; unless it says otherwise it is kept, and
        written back when the layout is saved.
    """

    fixed: tuple[str, ...] = ()
    unfixed: tuple[str, ...] = ()

    @property
    def outcome(self) -> Outcome:
        """Whether the layout is as in the file, mended, or not all there."""
        if self.unfixed:
            return "incomplete"
        return "mended" if self.fixed else "clean"

    @property
    def is_clean(self) -> bool:
        """Whether there is nothing to say."""
        return self.outcome == "clean"


class Notes:
    """The report while it is being written."""

    def __init__(self) -> None:
        self._fixed: list[str] = []
        self._unfixed: list[str] = []

    def fix(self, sentence: str) -> None:
        """Note something that was mended."""
        self._fixed.append(sentence)

    def leave(self, sentence: str) -> None:
        """Note something that could not be shown."""
        self._unfixed.append(sentence)

    def report(self) -> LoadReport:
        """Return what was noted."""
        return LoadReport(tuple(self._fixed), tuple(self._unfixed))
