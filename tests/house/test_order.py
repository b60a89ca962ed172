"""The house keeps its order: imports point one way, every file has its sign."""

import ast
import shutil
import subprocess
import sys
from pathlib import Path

import pytest
from importlinter.cli import lint_imports

from app.bootstrap import repository

ROOT = repository()
SOURCES = sorted(
    path for room in ("app", "core", "tests") for path in (ROOT / room).rglob("*.py")
)
TOP_LEVEL = {
    "README.md",
    "DEVELOPERS.md",
    "pyproject.toml",
    "app",
    "core",
    "tests",
    "sample_layouts",
    "assets",
}
REGISTRIES = ("pypi" + ".org", "pythonhosted" + ".org", "npmjs" + ".com")
"""Hosts that no committed file may name: a mirror may stand in their place."""


def test_imports_point_one_way(capsys: pytest.CaptureFixture[str]) -> None:
    code = lint_imports(str(ROOT / "pyproject.toml"), no_cache=True)
    assert code == 0, capsys.readouterr().out


def test_core_knows_no_qt() -> None:
    modules = sorted(
        ".".join(path.relative_to(ROOT).with_suffix("").parts)
        for path in SOURCES
        if path.is_relative_to(ROOT / "core") and path.name != "__init__.py"
    )
    script = (
        f"import importlib, sys\nfor name in {modules}: importlib.import_module(name)\n"
        "print([name for name in sys.modules if 'PySide6' in name])"
    )
    done = subprocess.run(
        [sys.executable, "-c", script],
        check=False,
        cwd=ROOT,
        capture_output=True,
        text=True,
    )
    assert (done.stdout.strip(), done.stderr) == ("[]", "")


@pytest.mark.parametrize("path", SOURCES, ids=lambda p: str(p.relative_to(ROOT)))
def test_every_file_begins_with_what_lives_in_it(path: Path) -> None:
    text = ast.get_docstring(ast.parse(path.read_text(encoding="utf-8")))
    assert text
    assert text.splitlines()[0].endswith(".")


def _files() -> list[str]:
    """Return what belongs to the project: as git says, or else what is there."""
    if (ROOT / ".git").exists() and shutil.which("git"):
        command = ["git", "-c", "safe.directory=*", "ls-files"]
        done = subprocess.run(
            command, check=True, cwd=ROOT, capture_output=True, text=True
        )
        return done.stdout.splitlines()
    parts = (path.relative_to(ROOT).parts for path in ROOT.rglob("*") if path.is_file())
    return ["/".join(p) for p in parts if p[0][0] != "." and "__pycache__" not in p]


def test_the_top_level_holds_what_it_should() -> None:
    top = {name.split("/")[0] for name in _files()}
    assert {name for name in top if not name.startswith(".")} == TOP_LEVEL


def test_no_committed_text_names_a_package_registry() -> None:
    texts = [
        ROOT / name
        for name in _files()
        if name.endswith((".py", ".md", ".toml", ".txt", "run"))
    ]
    named = [
        str(path)
        for path in texts
        if any(host in path.read_text(encoding="utf-8") for host in REGISTRIES)
    ]
    assert named == []
