"""All rules together: the table, the order, and what everyone relies on."""

import importlib
import inspect
import re
from pathlib import Path

import pytest

from core.analysis.examine import study_layout
from core.checks import rules
from core.checks.rule import Rule
from core.checks.run import RULES, run_checks
from core.layout.layout import Layout
from core.layout.parts import Settings
from tests.core.checks.plank import plank, straight, study_of

HERE = Path(__file__).parent
FOLDER = Path(str(rules.__file__)).parent
NAMES = sorted(path.stem for path in FOLDER.glob("*.py") if path.stem != "__init__")


def test_every_rule_file_stands_in_the_table_once() -> None:
    written = [importlib.import_module(f"core.checks.rules.{n}").RULE for n in NAMES]
    assert sorted(r.code for r in RULES) == sorted(r.code for r in written)
    assert len({r.code for r in RULES}) == len(RULES)


def test_codes_are_in_order_and_of_one_form() -> None:
    codes = [r.code for r in RULES]
    assert codes == sorted(codes)
    assert all(re.fullmatch("W[1-9][0-9]{2}", code) for code in codes)


@pytest.mark.parametrize("name", NAMES)
def test_a_rule_begins_with_its_code_and_has_a_test_on_either_side(name: str) -> None:
    module = importlib.import_module(f"core.checks.rules.{name}")
    assert str(inspect.getdoc(module)).startswith(f"{module.RULE.code}: ")
    tests = (HERE / f"test_{name}.py").read_text(encoding="utf-8")
    assert "def test_fires" in tests
    assert "quiet" in tests


@pytest.mark.parametrize("rule", RULES, ids=lambda r: r.code)
def test_a_rule_has_a_title_and_a_source(rule: Rule) -> None:
    assert rule.title
    assert len(rule.title) <= 32
    assert rule.source.endswith(".")


def test_the_plank_as_it_is_has_no_findings() -> None:
    assert run_checks(study_of(plank())) == ()


def test_an_empty_layout_has_no_findings() -> None:
    assert run_checks(study_layout(Layout())) == ()
    assert run_checks(study_layout(Layout({Settings().id: Settings()}))) == ()


def test_findings_come_worst_first() -> None:
    layout = plank(
        straight("R2", 0.3, y_mm=500.0),  # W101, 0.3 m
        straight("R3", 0.9, y_mm=700.0),  # W101, 0.9 m
        changes={
            "D1": {"wire": "0.14mm2-hookup"},  # W203, a hazard
            "D2": {"far_label": "nobody"},  # W205, advice
        },
    )
    found = run_checks(study_of(layout))
    assert [f.code for f in found] == ["W203", "W101", "W101", "W205"]
    assert [f.parts[0] for f in found[1:3]] == ["R3", "R2"]


def test_findings_name_only_parts_that_are_there() -> None:
    layout = plank(straight("R2", 0.3, y_mm=500.0), changes={"D2": {"a_rail": "right"}})
    for finding in run_checks(study_of(layout)):
        assert set(finding.parts) <= set(layout.parts)


def test_studies_are_only_read() -> None:
    layout = plank(changes={"D2": {"a_rail": "right", "far_label": "D1"}})
    before = dict(layout.parts)
    study = study_of(layout)
    assert run_checks(study) == run_checks(study)
    assert dict(layout.parts) == before
