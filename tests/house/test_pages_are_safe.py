"""Everything served comes from the site: no other host, no inline style or script (the policy would block it)."""

import ast
import re
from pathlib import Path

import pytest

from tests.support.sources import files, modules, short, tree

OTHER_HOST = re.compile(r"""(?:src|href|action|poster|data)\s*=\s*["']?\s*(?:https?:)?//""", re.IGNORECASE)
INLINE = re.compile(
    r"""\sstyle\s*=|<style\b|\son[a-z]+\s*=\s*["']|javascript:|<script(?![^>]*\ssrc\s*=)[^>]*>""", re.IGNORECASE
)
CSS_OTHER_HOST = re.compile(r"""url\(\s*["']?\s*(?:https?:)?//|@import""", re.IGNORECASE)
SCRIPT_OTHER_HOST = re.compile(r"""["'`](?:https?:)?//(?!www\.w3\.org/)""")


def found(pattern: re.Pattern[str], paths: list[Path]) -> list[str]:
    return [
        f"{short(path)}:{number} {line.strip()[:80]}"
        for path in paths
        for number, line in enumerate(path.read_text(encoding="utf-8").splitlines(), start=1)
        if pattern.search(line)
    ]


def templates() -> list[Path]:
    return list(files(".html", "templates", "registry", "breeding"))


def test_no_template_points_at_another_host() -> None:
    assert found(OTHER_HOST, templates()) == []


def test_no_template_holds_inline_style_or_script() -> None:
    assert found(INLINE, templates()) == []


def test_no_style_sheet_or_script_fetches_from_another_host() -> None:
    assert found(CSS_OTHER_HOST, list(files(".css", "registry", "breeding"))) == []
    assert found(SCRIPT_OTHER_HOST, list(files(".js", "registry", "breeding"))) == []


def test_no_markup_made_in_python_holds_inline_style_or_script() -> None:
    guilty = [
        f"{short(path)}:{node.lineno}"
        for path in modules("registry", "breeding")
        for node in ast.walk(tree(path))
        if isinstance(node, ast.Constant) and isinstance(node.value, str) and INLINE.search(node.value)
    ]
    assert guilty == []


@pytest.mark.parametrize(
    "line",
    ['<p style="color: red">', "<style>", "<a onclick='go()'>", '<a href="javascript:go()">', "<script>go()</script>"],
)
def test_an_inline_thing_is_seen(line: str) -> None:
    assert INLINE.search(line)


@pytest.mark.parametrize(
    "line", ['<script src="/static/scan.js" defer></script>', '<input name="on">', "<td>one = two</td>"]
)
def test_what_the_policy_allows_raises_no_alarm(line: str) -> None:
    assert not INLINE.search(line)
    assert not OTHER_HOST.search(line)


@pytest.mark.parametrize(
    "line", ['<img src="https://cdn.test/a.png">', "<a href=//cdn.test>", '<form action="http://x">']
)
def test_another_host_is_seen(line: str) -> None:
    assert OTHER_HOST.search(line)
