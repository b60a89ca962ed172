"""Forms: one step an edit, one sentence for bad text, the person's units."""

from collections.abc import Sequence

import pytest
from PySide6.QtCore import Qt
from PySide6.QtTest import QTest
from pytestqt.qtbot import QtBot

from app.panels.fields.editors import (
    DIFFERS,
    LineEditor,
    MemoEditor,
    PickEditor,
    TickEditor,
)
from app.panels.fields.field import Field
from app.panels.fields.form import Form
from app.panels.fields.settings import CONDUCTORS, LIMITS
from app.panels.fields.tables import FIELDS, fields_of
from app.session.session import Session
from core.layout.change import Change
from core.layout.edits.set import set_fields, set_settings
from core.layout.ids import SETTINGS_ID, PartId
from core.layout.parts import Booster, Bus, Drop, Gap, Point, TrackRun, Turnout
from tests.app.board import BOOSTER, MAIN
from tests.app.yard import GAP, TURNOUT, yard

D1, D2 = PartId("D1"), PartId("D2")


def show(
    qtbot: QtBot, session: Session, *ids: PartId, fields: Sequence[Field] | None = None
) -> Form:
    form = Form(session)
    qtbot.addWidget(form)
    parts = [session.layout.parts[i] for i in ids]
    form.show_parts(ids, fields_of(parts) if fields is None else fields)
    form.show()
    return form


def type_in(qtbot: QtBot, form: Form, name: str, text: str) -> None:
    editor = form.editor(name)
    assert isinstance(editor, LineEditor)
    editor.setFocus()
    editor.selectAll()
    QTest.keyClicks(editor, text)
    QTest.keyClick(editor, Qt.Key.Key_Return)


def shown(form: Form, name: str) -> str:
    editor = form.editor(name)
    assert isinstance(editor, LineEditor)
    return editor.text()


def test_typed_volts_become_one_undoable_step(qtbot: QtBot, session: Session) -> None:
    form = show(qtbot, session, BOOSTER)
    type_in(qtbot, form, "volts_v", "16,5 V")
    assert session.layout.need(BOOSTER, Booster).volts_v == 16.5
    session.undo_stack.undo()
    assert shown(form, "volts_v") == "15.00 V"


@pytest.mark.parametrize(
    ("text", "sentence"),
    [
        ("plenty", "Cannot read 'plenty'"),
        ("300", "It must be 30.00 V or less."),
        ("0", "It must be 0.10 V or more."),
    ],
)
def test_bad_text_gives_a_sentence_and_changes_nothing(
    qtbot: QtBot, session: Session, text: str, sentence: str
) -> None:
    form = show(qtbot, session, BOOSTER)
    before = session.layout.parts[BOOSTER]
    type_in(qtbot, form, "volts_v", text)
    assert form.error("volts_v").startswith(sentence)
    assert session.layout.parts[BOOSTER] == before
    assert session.undo_stack.count() == 0


def test_the_sentence_goes_when_the_text_is_right(
    qtbot: QtBot, session: Session
) -> None:
    form = show(qtbot, session, BOOSTER)
    type_in(qtbot, form, "volts_v", "plenty")
    type_in(qtbot, form, "volts_v", "14")
    assert form.error("volts_v") == ""


def test_escape_gives_up_what_was_typed(qtbot: QtBot, session: Session) -> None:
    form = show(qtbot, session, BOOSTER)
    editor = form.editor("volts_v")
    assert isinstance(editor, LineEditor)
    QTest.keyClicks(editor, "99")
    QTest.keyClick(editor, Qt.Key.Key_Escape)
    assert (editor.text(), session.undo_stack.count()) == ("15.00 V", 0)


def test_escape_and_enter_leave_the_field_and_a_wrong_text_does_not(
    qtbot: QtBot, session: Session
) -> None:
    form = show(qtbot, session, BOOSTER)
    left: list[bool] = []
    form.left.connect(lambda: left.append(True))
    editor = form.editor("volts_v")
    assert isinstance(editor, LineEditor)
    QTest.keyClick(editor, Qt.Key.Key_Escape)
    counts = [len(left)]
    type_in(qtbot, form, "volts_v", "plenty")
    counts.append(len(left))
    type_in(qtbot, form, "volts_v", "14")
    counts.append(len(left))
    assert counts == [1, 1, 2]


def test_escape_leaves_some_lines_of_text(qtbot: QtBot) -> None:
    memo = MemoEditor(3)
    qtbot.addWidget(memo)
    memo.show_value("As built")
    QTest.keyClicks(memo, "not")
    with qtbot.waitSignal(memo.left):
        QTest.keyClick(memo, Qt.Key.Key_Escape)
    assert memo.toPlainText() == "As built"


def test_leaving_a_field_untouched_does_not_round_it(
    qtbot: QtBot, session: Session
) -> None:
    exact = 14.123456
    ids = frozenset({BOOSTER})
    session.commit(set_fields(session.layout, ids, volts_v=exact))
    form = show(qtbot, session, BOOSTER)
    QTest.keyClick(form.editor("volts_v"), Qt.Key.Key_Return)
    assert session.layout.need(BOOSTER, Booster).volts_v == exact


def test_lengths_are_shown_and_read_in_the_persons_units(
    qtbot: QtBot, session: Session
) -> None:
    session.commit(set_settings(session.layout, lengths="ft"))
    form = show(qtbot, session, MAIN)
    type_in(qtbot, form, "piece_length_m", "36")  # a bare number is inches
    piece = session.layout.need(MAIN, TrackRun).piece_length_m
    assert piece == pytest.approx(36 * 0.0254)  # the inch is 25.4 mm exactly


def test_two_parts_that_differ_say_so_and_are_set_together(
    qtbot: QtBot, session: Session
) -> None:
    session.commit(set_fields(session.layout, frozenset({D1}), note="by the door"))
    form = show(qtbot, session, D1, D2)
    editor = form.editor("note")
    assert isinstance(editor, LineEditor)
    assert (editor.text(), editor.placeholderText()) == ("", DIFFERS)
    type_in(qtbot, form, "note", "same")
    notes = [session.layout.need(i, Drop).note for i in (D1, D2)]
    assert notes == ["same", "same"]


def test_a_place_can_only_be_set_for_one_part(session: Session) -> None:
    parts = [session.layout.parts[i] for i in (D1, D2)]
    assert "on" not in {field.name for field in fields_of(parts)}


def test_picking_a_wire_is_one_step(qtbot: QtBot, session: Session) -> None:
    form = show(qtbot, session, D1)
    picker = form.editor("wire")
    assert isinstance(picker, PickEditor)
    index = picker.findText("2.5 mm²", Qt.MatchFlag.MatchStartsWith)
    picker.setCurrentIndex(index)
    picker.activated.emit(index)
    assert session.layout.need(D1, Drop).wire.startswith("2.5mm2")
    assert session.undo_stack.count() == 1


def test_wires_of_the_persons_system_come_first(qtbot: QtBot, session: Session) -> None:
    session.commit(set_settings(session.layout, wires="awg"))
    form = show(qtbot, session, D1)
    picker = form.editor("wire")
    assert isinstance(picker, PickEditor)
    assert picker.itemText(0) == "American gauges"


def test_a_heading_in_a_picker_cannot_be_picked(qtbot: QtBot, session: Session) -> None:
    picker = show(qtbot, session, D1).editor("wire")
    assert isinstance(picker, PickEditor)
    assert (
        not picker.model().flags(picker.model().index(0, 0)) & Qt.ItemFlag.ItemIsEnabled
    )


def test_the_spacing_of_a_bus_matters_only_when_it_lies_apart(
    qtbot: QtBot, session: Session
) -> None:
    bus = Bus(
        id=PartId("B1"), points=(Point(x_mm=0, y_mm=-300), Point(x_mm=900, y_mm=-300))
    )
    session.layout.apply(_adding(bus))
    form = show(qtbot, session, bus.id)
    assert form.editor("spacing_mm").isHidden()
    session.commit(set_fields(session.layout, frozenset({bus.id}), lay="apart"))
    assert not form.editor("spacing_mm").isHidden()


def test_a_tick_is_one_step(qtbot: QtBot, session: Session) -> None:
    form = show(qtbot, session, BOOSTER)
    tick = form.editor("reversed_phase")
    assert isinstance(tick, TickEditor)
    tick.click()
    assert session.layout.need(BOOSTER, Booster).reversed_phase


@pytest.mark.parametrize("text", ["green-yellow", "Green/Yellow", "yellow and green"])
def test_the_colour_of_protective_earth_is_refused(
    qtbot: QtBot, session: Session, text: str
) -> None:
    form = show(qtbot, session, SETTINGS_ID, fields=CONDUCTORS)
    type_in(qtbot, form, "conductor_a.colour", text)
    said = form.error("conductor_a.colour")
    assert said.startswith("Green-yellow is kept for protective earth.")
    assert session.layout.settings.conductor_a.colour == "red"


def test_a_limit_is_set_inside_the_settings(qtbot: QtBot, session: Session) -> None:
    form = show(qtbot, session, SETTINGS_ID, fields=LIMITS)
    type_in(qtbot, form, "limits.drop_good", "3 %")
    assert session.layout.settings.limits.drop_good == pytest.approx(0.03)


@pytest.mark.parametrize("kind", FIELDS, ids=lambda kind: kind.__name__)
def test_every_field_is_one_of_its_part(kind: type) -> None:
    own = set(kind.__struct_fields__)  # type: ignore[attr-defined]
    elsewhere = {f.name for f in FIELDS[kind] if f.read and f.build}
    assert {field.name for field in FIELDS[kind]} - elsewhere <= own


def _adding(bus: Bus) -> Change:
    return Change("Add a bus", {bus.id: None}, {bus.id: bus})


def test_metal_in_a_gap_is_picked_and_undone_in_one_step(
    qtbot: QtBot, session: Session
) -> None:
    session.replace_layout(yard(), None)
    form = show(qtbot, session, GAP)
    editor = form.editor("filled")
    assert isinstance(editor, PickEditor)
    assert editor.currentText() == "Plastic, it cannot close"
    index = editor.findText("Metal", Qt.MatchFlag.MatchStartsWith)
    editor.setCurrentIndex(index)
    editor.activated.emit(index)
    assert session.layout.need(GAP, Gap).bridged
    assert not session.layout.need(GAP, Gap).filled
    session.undo_stack.undo()
    assert not session.layout.need(GAP, Gap).bridged


def test_a_contact_is_asked_for_only_where_a_frog_has_one(
    qtbot: QtBot, session: Session
) -> None:
    session.replace_layout(yard(), None)
    form = show(qtbot, session, TURNOUT)
    shown = [form.editor("contact_a").isVisible()]
    type_in(qtbot, form, "contact_a", "1")
    assert session.layout.need(TURNOUT, Turnout).contact_a == 1.0
    session.commit(set_fields(session.layout, frozenset({TURNOUT}), frog="insulated"))
    shown.append(form.editor("contact_a").isVisible())
    assert shown == [True, False]


def test_a_rail_measured_on_one_track_is_one_step_for_the_layout(
    qtbot: QtBot, session: Session
) -> None:
    form = show(qtbot, session, MAIN)
    assert shown(form, "measured") == ""
    type_in(qtbot, form, "measured", "1,5 A, 2 m, 240 mV")
    (own,) = session.layout.settings.measured
    # 1.5 A over 2 m: 240 mV are 80 mΩ a metre.
    assert own.rail == session.layout.need(MAIN, TrackRun).rail
    assert own.volts_v / own.amps_a / own.length_m == pytest.approx(0.08)
    assert shown(form, "measured") == "1.50 A, 2.00 m, 240 mV"
    session.undo_stack.undo()
    assert shown(form, "measured") == ""


def test_a_measurement_can_be_taken_back(qtbot: QtBot, session: Session) -> None:
    form = show(qtbot, session, MAIN)
    type_in(qtbot, form, "measured", "1 A; 1 m; 76 mV")
    type_in(qtbot, form, "measured", " ")
    assert session.layout.settings.measured == ()


@pytest.mark.parametrize(
    ("text", "sentence"),
    [
        ("76 mV", "amps, length and volts, with commas between"),
        ("0 A, 1 m, 76 mV", "figures above nothing"),
        ("1 A, 1 m, 76 V", "That would be 76 Ω a metre of one rail."),
        ("much, 1 m, 76 mV", "Cannot read 'much'"),
    ],
)
def test_what_no_rail_can_be_is_refused(
    qtbot: QtBot, session: Session, text: str, sentence: str
) -> None:
    form = show(qtbot, session, MAIN)
    type_in(qtbot, form, "measured", text)
    assert sentence in form.error("measured")
    assert session.layout.settings.measured == ()
