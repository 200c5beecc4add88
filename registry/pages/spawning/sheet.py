"""A night's sheet: one form for the night, rows for its crosses, and rows in them for the males."""

from collections.abc import Iterable, Sequence
from datetime import date
from typing import Any

from django import forms
from django.http import QueryDict

from registry.errors import Objection
from registry.operations.shared.entries import SpawningNight
from registry.pages.spawning.forms import CrossForm, MaleForm, NightForm, shares_of
from registry.web.entry_view import lay_on

BLANK_ROWS, MOST_ROWS, MOST_MALES = 3, 40, 12
# A suggested family number alone makes no cross.
SUGGESTED = {"family"}
# What is folded away until something stands in it.
ASIDE = ("portion", "off_plan_reason", "notes")
ASIDE_OF_MALE = ("motility_percent", "milt_lot", "doses", "frozen_milt")


class CrossRow:
    """One cross on the sheet with its males; one in which nothing was typed is passed over, unless all are so."""

    def __init__(self, number: int, males: int, data: QueryDict | None, typed: dict[str, Any], ask: bool) -> None:
        self.number, self.prefix = number, f"cross-{number}"
        self.form = _form(CrossForm, self.prefix, data, typed, ask)
        self.males = [_form(MaleForm, f"{self.prefix}-male-{n}", data, typed, ask) for n in range(males)]
        self.look: Any = None

    def used_males(self, data: QueryDict) -> list[MaleForm]:
        """Return the rows of males in which something stands; the first one if all are empty."""
        used = [form for form in self.males if any(data.get(f"{form.prefix}-{n}", "").strip() for n in form.fields)]
        return used or self.males[:1]

    @property
    def folded(self) -> bool:
        """Return whether nothing stands in the fields that a night can do without."""
        fields = [self.form[name] for name in ASIDE] + [male[n] for male in self.males for n in ASIDE_OF_MALE]
        return not any(field.errors or field.value() for field in fields)

    @property
    def pooled(self) -> bool:
        """Return whether more than one male's row is shown."""
        return len(self.males) > 1

    @property
    def refused(self) -> bool:
        """Return whether anything in this row is marked."""
        return bool(self.form.errors) or any(male.errors for male in self.males)


class NightSheet:
    """The whole sheet. `data` is what was sent; with `ask` false it is only kept, not judged."""

    is_multipart = False

    def __init__(
        self,
        data: QueryDict | None = None,
        typed: dict[str, Any] | None = None,
        males: Sequence[int] = (),
        ask: bool = True,
    ) -> None:
        self.data, typed = data, typed or {}
        sizes = list(males) or (_sizes(data) if data is not None else [1] * BLANK_ROWS)
        self.night = _form(NightForm, "night", data, typed, ask)
        blank = {n for n, size in enumerate(sizes) if data is not None and _is_blank(data, n, size)}
        self.blank = blank - {0} if len(blank) == len(sizes) else blank
        self.rows = [CrossRow(n, size, data, typed, ask and n not in self.blank) for n, size in enumerate(sizes)]
        self.asked = ask and data is not None
        self.general: list[str] = []
        self._crosses: dict[int, Any] = {}

    @property
    def used(self) -> list[CrossRow]:
        """Return the rows in which something was typed; the first one if all are blank."""
        return [row for row in self.rows if row.number not in self.blank]

    @property
    def errors(self) -> bool:
        """Return whether anything is marked."""
        return self.asked and bool(self.general or self.night.errors or any(row.refused for row in self.used))

    def non_field_errors(self) -> list[str]:
        """Return what hangs on no field."""
        return self.general

    def is_valid(self) -> bool:
        """Judge all rows in use, each field by itself and the males' shares together."""
        assert self.data is not None
        good = [self.night.is_valid()]
        for row in self.used:
            males = row.used_males(self.data)
            fine = all([row.form.is_valid(), *[male.is_valid() for male in males]])
            if fine:
                shares = shares_of(males)
                fine = not any(male.errors for male in males)
                self._crosses[row.number] = (males, shares)
            good.append(fine)
        return all(good)

    def entry(self) -> SpawningNight:
        """Return the night as the operation takes it."""
        day: date = self.night.cleaned_data["spawned_on"]
        stock = self.night.cleaned_data["stock"]
        crosses = []
        for row in self.used:
            males, shares = self._crosses[row.number]
            sires = tuple(male.entry(share) for male, share in zip(males, shares, strict=True))
            crosses.append(row.form.entry(day, sires))
        rest = {name: self.night.cleaned_data[name] for name in ("water_c", "notes")}
        return SpawningNight(spawned_on=day, crosses=tuple(crosses), stock=stock.name if stock else "", **rest)

    def lay_on_night(self, objections: Iterable[Objection]) -> None:
        """Mark what is wrong with the night as a whole."""
        for objection in objections:
            if objection.warning:
                continue
            if objection.field in self.night.fields:
                self.night.add_error(objection.field, forms.ValidationError(objection.message, objection.code))
            elif objection.message not in self.general:
                self.general.append(objection.message)

    def lay_on_cross(self, row: CrossRow, objections: Sequence[Objection]) -> None:
        """Mark what is wrong with one cross: at the male it names, else at the female's fields, else at the male."""
        males, _ = self._crosses[row.number]
        for objection in objections:
            named = [male for male in males if objection.value and male.cleaned_data.get("sire") == objection.value]
            at_male = objection.field in MaleForm.base_fields
            lay_on((named or males)[0] if at_male else row.form, (objection,))


def _form(kind: type[forms.Form], prefix: str, data: QueryDict | None, typed: dict[str, Any], ask: bool) -> Any:
    if data is not None and ask:
        return kind(data, prefix=prefix)
    start = f"{prefix}-"
    given = data.items() if data is not None else typed.items()
    return kind(prefix=prefix, initial={name.removeprefix(start): v for name, v in given if name.startswith(start)})


def _is_blank(data: QueryDict, cross: int, males: int) -> bool:
    fields = [f"cross-{cross}-{name}" for name in CrossForm.base_fields if name not in SUGGESTED]
    fields += [f"cross-{cross}-male-{n}-{name}" for n in range(males) for name in MaleForm.base_fields]
    return not any(data.get(field, "").strip() for field in fields)


def _sizes(data: QueryDict) -> list[int]:
    """Return how many males each cross shows, as the sheet that was sent said."""
    rows = min(_whole(data.get("crosses"), BLANK_ROWS), MOST_ROWS)
    return [min(_whole(data.get(f"cross-{n}-males"), 1), MOST_MALES) for n in range(rows)]


def _whole(text: str | None, default: int) -> int:
    return int(text) if text and text.isascii() and text.isdigit() and len(text) < 4 and text.strip("0") else default


def widened(data: QueryDict, wanted: str) -> list[int]:
    """Return the sizes after "add-cross" or "add-male-2" was pressed."""
    sizes = _sizes(data)
    row = wanted.removeprefix("add-male-")
    if wanted == "add-cross" and len(sizes) < MOST_ROWS:
        sizes.append(1)
    elif row.isdigit() and int(row) < len(sizes):
        sizes[int(row)] = min(sizes[int(row)] + 1, MOST_MALES)
    return sizes
