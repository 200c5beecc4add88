"""Folders are floors: a file imports only from its own folder or from lower floors (DEVELOPERS.md draws them)."""

import subprocess
import sys
import tomllib
from pathlib import Path
from typing import Any

from tests.support.sources import ROOT, dotted, imports, modules, short

PURE = ("breeding.genetics", "breeding.planning", "breeding.figures", "registry.rules", "registry.errors")
PURE += ("registry.environment",)
FREE = {"registry", "breeding", "registry.migrations"}  # empty packages, and what only Django's migrations run
PROBE = """
import importlib, sys
for name in sys.argv[1:]:
    importlib.import_module(name)
    loaded = sorted(module for module in sys.modules if module.split(".")[0] == "django")
    assert not loaded, f"{name} loads {loaded[0]}"
"""


def tool(name: str) -> dict[str, Any]:
    with (ROOT / "pyproject.toml").open("rb") as file:
        return tomllib.load(file)["tool"][name]


def contract(kind: str) -> dict[str, Any]:
    return next(contract for contract in tool("importlinter")["contracts"] if contract["type"] == kind)


def is_under(name: str, packages: tuple[str, ...] | set[str]) -> bool:
    return any(name == package or name.startswith(package + ".") for package in packages)


def test_every_import_goes_down() -> None:
    checked = subprocess.run(
        [Path(sys.executable).parent / "lint-imports", "--no-cache"],
        cwd=ROOT,
        capture_output=True,
        text=True,
        check=False,
    )
    assert checked.returncode == 0, checked.stdout + checked.stderr


def test_every_module_stands_on_a_floor() -> None:
    named = {name.strip(" ()") for layer in contract("layers")["layers"] for name in layer.replace(":", "|").split("|")}
    homeless = [
        short(path)
        for path in modules("registry", "breeding")
        if dotted(path) not in FREE and not is_under(dotted(path), named)
    ]
    assert homeless == [], "name the new folder in the layers of pyproject.toml"


def test_genetics_planning_figures_and_rules_load_no_django() -> None:
    pure = [dotted(path) for path in modules("registry", "breeding") if is_under(dotted(path), PURE)]
    probe = subprocess.run([sys.executable, "-c", PROBE, *pure], cwd=ROOT, capture_output=True, text=True, check=False)
    assert len(pure) > 20
    assert probe.returncode == 0, probe.stderr


def test_every_pure_floor_that_exists_is_named_where_it_is_checked() -> None:
    existing = {name for name in PURE if list(ROOT.glob(name.replace(".", "/") + "*"))}
    typed = {name.removesuffix(".py").replace("/", ".") for name in tool("mypy")["files"]}
    assert set(contract("forbidden")["source_modules"]) == existing, "name it in the forbidden contract"
    assert typed == existing, "name it among mypy's files"
    assert contract("forbidden")["forbidden_modules"] == ["django"]


def test_the_two_apps_load_nothing_by_themselves() -> None:
    # One model import here and Django stops before its apps are loaded.
    assert [(ROOT / app / "__init__.py").read_text() for app in ("registry", "breeding")] == ["", ""]


def test_nothing_of_the_site_imports_its_tests() -> None:
    guilty = [short(path) for path in modules("registry", "breeding") if is_under_tests(path)]
    assert guilty == []


def is_under_tests(path: Path) -> bool:
    return any(is_under(name, ("tests",)) for name in imports(path))
