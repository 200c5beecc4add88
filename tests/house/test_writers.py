"""One door: only the journal puts rows into tables; only registry/operations/people.py keeps accounts."""

import ast
import re
from collections.abc import Iterator

import pytest

from tests.support.sources import modules, short, tree

JOURNAL = "registry/journal/"
ACCOUNTS = "registry/operations/people.py"
ALWAYS = {
    "bulk_create",
    "bulk_update",
    "get_or_create",
    "update_or_create",
    "create",
    "create_user",
    "create_superuser",
}
ALWAYS |= {"set_password", "set_unusable_password", "save_base", "_raw_delete", "_insert", "_update", "QuerySet"}
ALWAYS |= {f"a{name}" for name in ALWAYS} | {"asave", "adelete", "aupdate"}
WRITING_SQL = re.compile(r"\s*(INSERT|UPDATE|DELETE|REPLACE|TRUNCATE|DROP|ALTER|CREATE)\b", re.IGNORECASE)


def writes(source: ast.Module) -> Iterator[tuple[int, str]]:
    """Yield line and wording of every call that can write a row.

    A workbook is saved to a place, a cache key is deleted by name, a dictionary is updated from another one: those
    calls give a positional argument, which rows never need. `mapping |= {…}` does what `mapping.update(key=…)` would.
    """
    for node in ast.walk(source):
        if isinstance(node, ast.Call) and is_write(node):
            yield node.lineno, ast.unparse(node)[:80]


def is_write(call: ast.Call) -> bool:
    if not isinstance(call.func, ast.Attribute):
        return getattr(call.func, "id", "") == "QuerySet"
    name = call.func.attr
    if name in ALWAYS:
        return True
    if name in {"execute", "executemany", "executescript"}:
        return any(WRITING_SQL.match(text) for text in texts(call))
    plain = [argument for argument in call.args if not isinstance(argument, ast.Starred)]
    if name == "update":
        return not plain and bool(call.keywords)
    return name in {"save", "delete"} and not plain


def texts(call: ast.Call) -> Iterator[str]:
    for argument in call.args[:1]:
        first = argument.values[0] if isinstance(argument, ast.JoinedStr) and argument.values else argument
        if isinstance(first, ast.Constant) and isinstance(first.value, str):
            yield first.value


def test_only_the_journal_writes_records_and_only_people_writes_accounts() -> None:
    seen = [short(path) for path in modules("registry", "breeding")]
    assert "registry/journal/write.py" in seen
    elsewhere = [
        f"{short(path)}:{line} {wording}"
        for path in modules("registry", "breeding")
        if not short(path).startswith(JOURNAL) and short(path) != ACCOUNTS
        for line, wording in writes(tree(path))
    ]
    assert elsewhere == [], "hand the row to the journal entry of an operation"


@pytest.mark.parametrize(
    "line",
    [
        "tag.save()",
        "super().save(*args, **kwargs)",
        "tag.delete()",
        "await tag.asave()",
        "Tag.objects.create(code='1')",
        "fish.tags.create(code='1')",
        "Tag.objects.filter(pk=1).update(code='2')",
        "rows.update(**values)",
        "Tag.objects.bulk_create(tags)",
        "Tag.objects.get_or_create(code='1')",
        "models.QuerySet(Tag).filter(pk=1)",
        "QuerySet(Tag)",
        "User.objects.create_user('staff')",
        "user.set_password(word)",
        "cursor.execute('UPDATE registry_tag SET code = %s', ['2'])",
        "cursor.execute(f' delete from {table}')",
    ],
)
def test_a_write_is_seen(line: str) -> None:
    assert len(list(writes(ast.parse(line if "await" not in line else f"async def f():\n    {line}")))) == 1


@pytest.mark.parametrize(
    "line",
    [
        "columns.update({'code': 'Code'})",
        "seen.update(codes)",
        "digest.update(b'row')",
        "bar.update()",
        "workbook.save(buffer)",
        "cache.delete('inbreeding')",
        "storage.save(name, file)",
        "cursor.execute('SELECT updated FROM t')",
        "entry.add(tag)",
    ],
)
def test_what_is_no_row_raises_no_alarm(line: str) -> None:
    assert list(writes(ast.parse(line))) == []
