"""Wire sizes tried on a bus, or on all: which is the thinnest that will do."""

from collections.abc import Sequence
from functools import partial

from msgspec.structs import replace

from app.panels.answers.trial_table import Named, size_of, to_buy
from app.panels.answers.trying import MOVED_ON, NO_PART, TryingCard
from app.panels.bits import Tick
from app.panels.fields.field import Choice
from app.session.asking import Talk
from app.session.looks import Looks
from app.session.session import Session
from core.errors import CoreError
from core.layout.change import Change
from core.layout.edits.set import set_fields
from core.layout.ids import PartId
from core.layout.layout import Layout
from core.layout.parts import Bus
from core.proposals.wires import (
    Trial,
    sizes_to_try,
    thickness_hardly_helps,
    try_wires,
)
from core.units.figures import show_kilos
from core.units.length import show_length
from core.units.si import Metre

ALL = NO_PART
"""Stands for all buses in the picker."""

SAYS = "Puts each size of wire on the bus in turn and works the whole layout out."
NO_BUS = "Draw a bus first; then each size of wire can be tried on it."

TOUCHING = frozenset(("twisted", "side by side"))
"""Lays of a bus that have the same inductance: twisting gains nothing."""


class SizesCard(TryingCard[Trial]):
    """Tries every size in the background; one press puts one on the bus."""

    says, no_bus = SAYS, NO_BUS

    def __init__(self, session: Session, looks: Looks) -> None:
        self._buses: frozenset[PartId] = frozenset()
        self._lay: str | None = None
        self.twist = Tick("with the pair twisted")
        super().__init__(session, looks, "Try wire sizes", "Size")
        self.pick.edited.connect(lambda _: self._refresh_more())

    def _add_more(self) -> None:
        self.body.addWidget(self.twist)

    def _choices(self) -> Sequence[Choice]:
        buses = list(self.session.layout.of_kind(Bus))
        several = [Choice(ALL, f"All {len(buses)} buses")] if len(buses) > 1 else []
        return [*several, *(Choice(bus.id, _name(bus)) for bus in buses)]

    def _on_start(self) -> None:
        layout = self.session.layout.copy()
        chosen = self._chosen()
        every = frozenset(bus.id for bus in layout.of_kind(Bus))
        self._buses = every if chosen == ALL else frozenset({chosen})
        self._lay = "twisted" if self._offers_twist() else None
        count = len(sizes_to_try(layout))
        self._begin(count, f"Trying {count} sizes…")
        self.inquiry.ask(partial(try_all, layout, self._buses, self._lay))
        self.refresh()

    def _on_told(self, told: object) -> None:
        assert isinstance(told, Trial)
        self._trials.append(told)
        self.bar.setValue(len(self._trials))
        self.refresh()

    def _sum_up(self) -> str:
        return sentence_on(self._trials, twisted=self._is_twisted())

    def _on_use(self, trial: Trial) -> None:
        layout = self.session.layout
        fields = {"wire": trial.wire.id}
        if self._lay is not None:
            fields["lay"] = self._lay
        buses = frozenset(i for i in self._buses if i in layout.parts)
        try:
            self.session.commit(set_fields(layout, buses, **fields))
        except CoreError as error:
            self.session.notice.emit(error.sentence())

    def _on_change(self, change: Change) -> None:
        tried = bool(self._trials) or self.inquiry.is_busy
        if tried and not _only_rewires(change, self._buses):
            self.inquiry.stop()
            self._said = MOVED_ON
        self.refresh_if_open()

    def _forget(self) -> None:
        self._buses, self._lay = frozenset(), None
        super()._forget()

    def _offers_twist(self) -> bool:
        return self.twist.isChecked() and not self.twist.isHidden()

    def _refresh_more(self) -> None:
        chosen = self._chosen()
        buses = self.session.layout.of_kind(Bus)
        lays = {bus.lay for bus in buses if chosen in (ALL, bus.id)}
        self.twist.setVisible(bool(lays - TOUCHING))

    def _is_twisted(self) -> bool:
        buses = (self.session.layout.get(i, Bus) for i in self._buses)
        lays = {bus.lay for bus in buses if bus is not None}
        return self._lay == "twisted" or lays <= TOUCHING

    def _named(self, trial: Trial) -> Named:
        system = self.session.layout.settings.lengths
        metres = show_length(Metre(trial.metres), system)
        kilos = show_kilos(trial.copper_kg)
        return Named(
            size_of(trial.wire),
            to_buy(trial.metres, trial.copper_kg, system),
            f"{trial.wire.label}, {metres} to buy, {kilos} of copper",
        )

    def _is_in_use(self, trial: Trial) -> bool:
        buses = [self.session.layout.get(i, Bus) for i in self._buses]
        return all(
            bus is not None
            and bus.wire == trial.wire.id
            and self._lay in (None, bus.lay)
            for bus in buses
        )


def try_all(
    layout: Layout, buses: frozenset[PartId], lay: str | None, talk: Talk
) -> None:
    """Try each size, and tell each trial as soon as it is made."""
    for trial in try_wires(layout, buses, lay=lay, go_on=talk.goes_on):
        talk.tell(trial)


def sentence_on(trials: Sequence[Trial], *, twisted: bool) -> str:
    """Return which size to take, or what to do where none is good."""
    good = next((trial for trial in trials if trial.passes), None)
    if good is not None:
        return f"{size_of(good.wire)} is the thinnest that is good both ways."
    if thickness_hardly_helps(trials):
        twist = "" if twisted else "twist the pair, "
        return (
            "None is good both ways, and thicker wire hardly helps a short here: "
            f"{twist}feed the bus in its middle, or add drops."
        )
    return (
        "None is good both ways: feed the bus in its middle, or share the layout out "
        "among more boosters."
    )


def _only_rewires(change: Change, buses: frozenset[PartId]) -> bool:
    """Return whether a change does nothing but put other wire on the tried buses."""
    for part_id, new in change.after.items():
        old = change.before.get(part_id)
        if part_id not in buses or not isinstance(old, Bus) or not isinstance(new, Bus):
            return False
        if replace(old, wire=new.wire, lay=new.lay) != new:
            return False
    return True


def _name(bus: Bus) -> str:
    return f"{bus.id} ({bus.name})" if bus.name else bus.id
