"""Every rule has a number of its own, a source, and tests on both sides of its limit."""

import ast
import importlib
import re
from collections import Counter
from pathlib import Path
from types import ModuleType

import pytest

from app.bootstrap import repository

ROOT = repository()
FILES = sorted(
    path
    for path in (ROOT / "core" / "checks" / "rules").glob("*.py")
    if path.name != "__init__.py"
)
by_rule = pytest.mark.parametrize("path", FILES, ids=lambda p: p.stem)


def _module(path: Path) -> ModuleType:
    return importlib.import_module(f"core.checks.rules.{path.stem}")


def test_there_are_rules() -> None:
    assert FILES


def test_no_code_is_used_twice() -> None:
    codes = Counter(_module(path).RULE.code for path in FILES)
    assert [code for code, count in codes.items() if count > 1] == []


@by_rule
def test_a_code_is_a_letter_and_a_number_that_the_file_begins_with(path: Path) -> None:
    code = _module(path).RULE.code
    sign = ast.get_docstring(ast.parse(path.read_text(encoding="utf-8")))
    assert re.fullmatch("W[1-5][0-9]{2}", code)
    assert sign is not None
    assert sign.startswith(code)


@by_rule
def test_a_rule_names_its_source(path: Path) -> None:
    assert _module(path).RULE.source.strip()


@by_rule
def test_a_rule_is_tested_on_both_sides_of_its_limit(path: Path) -> None:
    tests = ROOT / "tests" / "core" / "checks" / f"test_{path.stem}.py"
    tree = ast.parse(tests.read_text(encoding="utf-8"))
    names = [node.name for node in ast.walk(tree) if isinstance(node, ast.FunctionDef)]
    assert [name for name in names if name.startswith("test_fires")]
    assert [name for name in names if name.startswith("test_quiet")]
