"""The hashed list and the bounds in pyproject.toml say the same."""

import re
import tomllib

import pytest
from packaging.markers import Marker
from packaging.requirements import Requirement

from app.bootstrap import repository

ROOT = repository()
PROJECT = tomllib.loads((ROOT / "pyproject.toml").read_text(encoding="utf-8"))
ASKED = [
    Requirement(line)
    for line in PROJECT["project"]["dependencies"] + PROJECT["dependency-groups"]["dev"]
]
LINE = re.compile(r"^([A-Za-z0-9._-]+)==([^ ]+)(?: ; (.*?))? \\$", re.MULTILINE)


def _locked(python: str) -> dict[str, str]:
    """Return name to version as a Python of that version on Linux gets them."""
    text = (ROOT / ".ci" / "requirements.txt").read_text(encoding="utf-8")
    here = {"python_full_version": python, "sys_platform": "linux"}
    return {
        name.lower(): version
        for name, version, marker in LINE.findall(text)
        if not marker or Marker(marker).evaluate(here)
    }


@pytest.mark.parametrize("python", ["3.11.2", "3.12.3", "3.13.5"])
@pytest.mark.parametrize("asked", ASKED, ids=lambda a: a.name)
def test_the_list_holds_a_version_within_the_bounds(
    asked: Requirement, python: str
) -> None:
    assert asked.specifier.contains(_locked(python)[asked.name.lower()])
