"""What all states share in which the selecting hand holds something."""

from app.tools.state import Cursor, State


class Held(State):
    """The button is down; cancelling goes back to rest."""

    cursor: Cursor = "arrow"
    holds_button = True

    def __init__(self, resting: State) -> None:
        super().__init__(resting.desk)
        self.resting = resting

    def idle(self) -> State:
        """Go back to rest."""
        return self.resting
