"""Functions first: at most one base class of our own stands between a class and Django."""

import importlib
import inspect
from collections.abc import Iterator

from tests.support.sources import dotted, modules

OURS = ("registry.", "breeding.")


def classes(holder: object, module: str) -> Iterator[type]:
    """Yield the classes defined in a module, nested ones included."""
    for value in vars(holder).values():
        if inspect.isclass(value) and value.__module__ == module and value is not holder:
            yield value
            if value.__qualname__.startswith(getattr(holder, "__qualname__", "")):
                yield from classes(value, module)


def own_bases(kind: type) -> list[str]:
    return [base.__qualname__ for base in kind.__mro__[1:] if base.__module__.startswith(OURS)]


def test_no_class_has_more_than_one_base_of_our_own() -> None:
    names = [dotted(path) for path in modules("registry", "breeding")]
    found = {kind for name in names for kind in classes(importlib.import_module(name), name)}
    assert "Tag" in {kind.__name__ for kind in found}
    deep = [f"{kind.__module__}.{kind.__qualname__}: {own_bases(kind)}" for kind in found if len(own_bases(kind)) > 1]
    assert deep == []
