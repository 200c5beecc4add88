"""A newcomer copies two lines out of the README; what they install is pinned, and what they may set is written down."""

import re
import tomllib

import pytest
from packaging.requirements import Requirement

from tests.support.sources import ROOT, modules

README = (ROOT / "README.md").read_text(encoding="utf-8")
LOCKS = {".requirements.lock": "demo", ".requirements-dev.lock": "test"}


def locked(lock: str) -> dict[str, str]:
    """Return the version of every package that a lock pins, by its lower-case name."""
    text = (ROOT / lock).read_text(encoding="utf-8")
    return dict(re.findall(r"^([A-Za-z0-9._-]+)(?:\[[^\]]*\])?==([^\s;]+)", text, re.MULTILINE))


def wanted(lock: str) -> list[Requirement]:
    project = tomllib.loads((ROOT / "pyproject.toml").read_text(encoding="utf-8"))
    names = project["project"]["dependencies"] + (project["dependency-groups"]["dev"] if "dev" in lock else [])
    return [Requirement(name) for name in names]


@pytest.mark.parametrize("lock", LOCKS)
def test_a_lock_pins_by_hash_and_names_no_address(lock: str) -> None:
    text = (ROOT / lock).read_text(encoding="utf-8")
    assert "://" not in text
    unhashed = [line for line in re.findall(r"^[a-z].*", text, re.MULTILINE | re.IGNORECASE) if line[-1] != "\\"]
    assert unhashed == []
    assert len(re.findall("--hash=sha256:[0-9a-f]{64}", text)) > len(locked(lock)) > 20


@pytest.mark.parametrize("lock", LOCKS)
def test_a_lock_holds_what_the_project_asks_for(lock: str) -> None:
    pinned = locked(lock)
    assert [str(want) for want in wanted(lock) if not want.specifier.contains(pinned[want.name.lower()])] == []


def test_what_runs_the_site_is_tested_in_the_very_same_versions() -> None:
    assert locked(".requirements.lock").items() <= locked(".requirements-dev.lock").items()


@pytest.mark.parametrize(("lock", "name"), LOCKS.items())
def test_the_readme_holds_one_line_for_the_demonstration_and_one_for_the_tests(lock: str, name: str) -> None:
    (command,) = re.findall(rf"^<!-- command: {name} -->\n```\n(.*)\n```$", README, re.MULTILINE)
    assert command.startswith("python3 -m venv .venv && .venv/bin/pip install --require-hashes -r " + lock + " && ")


def test_the_readme_begins_with_what_the_machine_needs() -> None:
    assert "`python3-venv`" in README.splitlines()[0]


def test_the_readme_names_every_setting_and_no_other() -> None:
    setting = re.compile(r"\b(SCUTE_[A-Z_]+|DATABASE_URL)\b")
    used = {name for path in modules("registry", "breeding") for name in setting.findall(path.read_text("utf-8"))}
    assert set(re.findall(r"^\| `(SCUTE_[A-Z_]+|DATABASE_URL)`", README, re.MULTILINE)) == used
