"""Short wins: a file has one purpose, a folder is seen at a glance."""

from pathlib import Path

from tests.support.sources import ROOT, entries, files, folders, modules, short

TOP_LEVEL = {"README.md", "DEVELOPERS.md", "manage.py", "pyproject.toml", "registry", "breeding", "templates", "tests"}
TOP_LEVEL |= {"fixtures"}
ENTRIES = {"registry": 24}


def too_long(paths: list[Path], limit: int) -> list[str]:
    lengths = {path: len(path.read_text(encoding="utf-8").splitlines()) for path in paths}
    return [f"{short(path)} has {lines} lines" for path, lines in lengths.items() if lines > limit]


def test_no_source_file_is_over_250_lines() -> None:
    sources = [*modules("registry", "breeding"), *files(".js", "registry", "breeding"), *files(".css", "registry")]
    assert len(sources) > 50
    assert too_long(sources, 250) == []


def test_no_test_file_is_over_400_lines() -> None:
    assert too_long(list(modules("tests")), 400) == []


def test_no_template_is_over_120_lines() -> None:
    assert too_long(list(files(".html", "templates", "registry", "breeding")), 120) == []


def test_no_folder_holds_more_than_can_be_seen_at_a_glance() -> None:
    crowded = []
    for folder in folders("registry", "breeding", "templates", "tests", "fixtures"):
        limit = ENTRIES.get(short(folder), 16)
        if folder.name != "migrations" and len(entries(folder)) > limit:
            crowded.append(f"{short(folder)} holds {len(entries(folder))} entries, {limit} is the limit")
    assert crowded == []


def test_the_top_level_holds_only_the_fixed_entries() -> None:
    assert [path.name for path in entries(ROOT) if path.name not in TOP_LEVEL] == []
