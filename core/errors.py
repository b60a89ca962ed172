"""The family of errors that carry a sentence for the person."""


class CoreError(Exception):
    """Something in the world is wrong: one sentence, and a hint what to do.

    Attributes
    ----------
    hint : str
        What the person can do about it; may be empty.
    """

    hint: str = ""

    def sentence(self) -> str:
        """Return the message and the hint as one text."""
        return f"{self} {self.hint}".strip()


class UnitParseError(CoreError, ValueError):
    """A text could not be read as the quantity asked for."""

    def __init__(self, text: str, wanted: str, examples: tuple[str, ...]) -> None:
        super().__init__(f"Cannot read {text!r} as {wanted}.")
        self.text = text
        self.wanted = wanted
        self.hint = f"Write it like {' or '.join(examples)}."


class UnknownNameError(CoreError, LookupError):
    """A name is not in the table or layout it was looked up in."""

    def __init__(self, name: str, kind: str, nearest: str | None = None) -> None:
        super().__init__(f"There is no {kind} called {name!r}.")
        self.name = name
        self.kind = kind
        self.nearest = nearest
        self.hint = f"Did you mean {nearest!r}?" if nearest else ""


class FileFormatError(CoreError, ValueError):
    """A file is not a layout this version can read."""

    def __init__(self, where: str, what: str, hint: str = "") -> None:
        super().__init__(f"{where}: {what}")
        self.where = where
        self.what = what
        self.hint = hint


class FileAccessError(CoreError, OSError):
    """A file could not be reached, read or written."""

    def __init__(self, where: str, what: str, hint: str = "") -> None:
        super().__init__(f"{where}: {what}")
        self.where = where
        self.what = what
        self.hint = hint


class EditError(CoreError, ValueError):
    """An edit was asked for that the layout cannot take."""

    def __init__(self, what: str, hint: str = "") -> None:
        super().__init__(what)
        self.what = what
        self.hint = hint


class NotFedError(CoreError):
    """A question was asked about a place that no booster reaches."""

    def __init__(self, where: str) -> None:
        super().__init__(f"No booster reaches {where}.")
        self.where = where
        self.hint = "Give it a drop, or check the gaps and joints on the way to it."


class ShortedError(CoreError):
    """A question was asked about a circuit whose two poles are joined."""

    def __init__(self, where: str, path: tuple[str, ...] = ()) -> None:
        super().__init__(f"{where} joins conductor A to conductor B.")
        self.where = where
        self.path = path
        self.hint = "Cure the short first; every figure after it is meaningless."


class CannotBeFedError(CoreError):
    """A constant-power load asks for more than the wiring can carry."""

    def __init__(self, load: str, asked_w: float, most_w: float) -> None:
        super().__init__(
            f"{load} asks for {asked_w:.1f} W; the wiring there can carry "
            f"at most {most_w:.1f} W."
        )
        self.load = load
        self.asked_w = asked_w
        self.most_w = most_w
        self.hint = "Feed that place better, or give the load a smaller figure."


class UnsettledError(CoreError):
    """Which diode detectors conduct could not be settled."""

    def __init__(self, parts: tuple[str, ...]) -> None:
        super().__init__(
            f"Whether current passes {', '.join(parts)} could not be settled."
        )
        self.parts = parts
        self.hint = "Give one of them no fixed loss to see the figures of the rest."
