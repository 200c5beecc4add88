"""Several lines of the same fields in one form (families and shares, fish and tags), without any script.

A form calls `add_lines` in its constructor; its view hands it `lines=line_count(request.POST, …)` and shows more empty
lines, with everything typed kept, when the person presses the button named MORE.
"""

from collections.abc import Callable, Mapping
from typing import Any

from django import forms
from django.forms import BoundField

from registry.errors import Objection

MORE, STEP, MOST = "more_lines", 5, 200
Maker = Callable[[], forms.Field]


def line_count(data: Mapping[str, Any], first: str, least: int) -> int:
    """Return how many lines a form needs for what was sent; STEP more when more were asked for."""
    sent = [int(name.removeprefix(f"{first}_")) for name in data if name.removeprefix(f"{first}_").isdecimal()]
    lines = max([number + 1 for number in sent if number < MOST] + [least])
    return min(MOST, lines + STEP) if MORE in data else lines


def add_lines(form: forms.Form, makers: Mapping[str, Maker], lines: int) -> None:
    """Add `lines` times the fields, each named `name_0`, `name_1` …; headings are the labels of the first line."""
    for number in range(lines):
        for name, make in makers.items():
            field = make()
            field.required = False
            field.widget.attrs |= {"autocomplete": "off", "aria-label": f"{field.label}, line {number + 1}"}
            form.fields[f"{name}_{number}"] = field


def lines_of(form: forms.Form, names: tuple[str, ...]) -> list[list[BoundField]]:
    """Return the fields line by line, for the template."""
    found = []
    while f"{names[0]}_{len(found)}" in form.fields:
        found.append([form[f"{name}_{len(found)}"] for name in names])
    return found


def apart(form: forms.Form, names: tuple[str, ...]) -> list[BoundField]:
    """Return the form's other fields, in their order."""
    in_lines = {field.name for line in lines_of(form, names) for field in line}
    return [field for field in form.visible_fields() if field.name not in in_lines]


def filled(form: forms.Form, names: tuple[str, ...]) -> list[tuple[int, dict[str, Any]]]:
    """Return number and cleaned values of every line in which anything was typed."""
    found = []
    for number, line in enumerate(lines_of(form, names)):
        values = {name: form.cleaned_data.get(field.name) for name, field in zip(names, line, strict=True)}
        if any(field.data not in (None, "") for field in line if not isinstance(field.field, forms.ChoiceField)):
            found.append((number, values))
    return found


def at_its_line(objection: Objection, data: Mapping[str, Any], names: Mapping[str, str]) -> Objection:
    """Hang an objection on the line in which its value was typed; `names` maps its field to the lines' field."""
    name = names.get(objection.field)
    wanted = _folded(objection.value)
    if name and wanted:
        for key, typed in data.items():
            if key.removeprefix(f"{name}_").isdecimal() and _folded(str(typed)) == wanted:
                return objection.on(key)
    return objection


def _folded(text: str) -> str:
    return "".join(text.split()).casefold()
