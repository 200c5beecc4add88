"""Form fields as hands use them: measures with a comma or a point, whole counts, days, codes from a reader."""

import re
from collections.abc import Callable, Iterable
from decimal import Decimal
from typing import Any

from django import forms
from django.utils import timezone
from django.utils.html import format_html, format_html_join
from django.utils.safestring import SafeString

from registry.queries.identity.find import Hit, fish_meant
from registry.queries.papers.permits import permits_on
from registry.rules.reading import shown
from registry.rules.tags import TagCode, formatted, read_code, suggestions


class Offering(forms.TextInput):
    """A line of text that offers values known to the register, to take or to type over."""

    def __init__(
        self, offered: Iterable[str] | Callable[[], Iterable[str]], attrs: dict[str, Any] | None = None
    ) -> None:
        super().__init__(attrs)
        self.offered = offered

    def render(self, name: str, value: Any, attrs: dict[str, Any] | None = None, renderer: Any = None) -> SafeString:
        listed = f"offers_of_{name}"
        field = super().render(name, value, {**(attrs or {}), "list": listed}, renderer)
        offered = self.offered() if callable(self.offered) else self.offered
        offers = format_html_join("", '<option value="{}"></option>', ((one,) for one in offered))
        return format_html('{}<datalist id="{}">{}</datalist>', field, listed, offers)


class Measure(forms.DecimalField):
    """A measured number; the unit is part of the field's name (`total_length_mm`) and shown beside it."""

    def __init__(self, **options: Any) -> None:
        super().__init__(**{"required": False, "widget": forms.TextInput(attrs={"inputmode": "decimal"})} | options)

    def to_python(self, value: Any) -> Decimal | None:
        text = str(value or "").strip().replace("\N{NO-BREAK SPACE}", "").replace(" ", "")
        if re.fullmatch(r"[+-]?\d{1,3}(,\d{3})+", text):
            whole, point = text.replace(",", ""), text.replace(",", ".", 1)
            raise forms.ValidationError(
                f"“{shown(value)}” can be read in two ways. Write {whole}"
                + (f" or {point}." if text.count(",") == 1 else "."),
                code="two_readings",
            )
        if text.count(",") == 1 and "." not in text:
            text = text.replace(",", ".")
        try:
            return super().to_python(text)
        except forms.ValidationError:
            raise forms.ValidationError(
                f"“{shown(value)}” is not a number. Write figures only, such as 12.5.", code="not_a_number"
            ) from None


class Count(forms.IntegerField):
    """A whole number of fish, eggs or doses, never below zero."""

    def __init__(self, **options: Any) -> None:
        super().__init__(**{"widget": forms.TextInput(attrs={"inputmode": "numeric"})} | options)

    def to_python(self, value: Any) -> int | None:
        text = str(value if value is not None else "").strip()
        bare = re.sub(r"(?<=\d)[ \N{NO-BREAK SPACE}'](?=\d{3})", "", text)
        if not bare:
            return None
        if bare.startswith("-"):
            raise forms.ValidationError(f"“{shown(text)}” is below zero. Write how many there are.", code="below_zero")
        if not (bare.isascii() and bare.isdigit() and len(bare) <= 12):
            raise forms.ValidationError(
                f"“{shown(text)}” is not a whole number. Write figures only, such as 1200.", code="not_whole"
            )
        return int(bare)


class Day(forms.DateField):
    """A calendar day, picked or typed as 2026-05-03."""

    default_error_messages = {"invalid": "This is not a day. Pick it, or write it as 2026-05-03."}

    def __init__(self, **options: Any) -> None:
        widget = forms.DateInput(attrs={"type": "date"}, format="%Y-%m-%d")
        super().__init__(**{"widget": widget, "input_formats": ["%Y-%m-%d"]} | options)


class Scanned(forms.TextInput):
    """A line for a code. What was typed and is none offers the codes that it may have been meant for, to choose one."""

    TAKEN = "-meant"

    def __init__(self) -> None:
        super().__init__({"data-takes-scan": "", "spellcheck": "false", "class": "code"})

    def value_from_datadict(self, data: Any, files: Any, name: str) -> Any:
        typed, chosen = super().value_from_datadict(data, files, name), data.get(name + self.TAKEN)
        # A line that was typed anew since the offers were made says more than a choice among them.
        return chosen if chosen and suggestions(str(typed or "")) else typed

    def render(self, name: str, value: Any, attrs: dict[str, Any] | None = None, renderer: Any = None) -> SafeString:
        field = super().render(name, value, attrs, renderer)
        offered = suggestions(str(value or ""))
        if not offered:
            return field
        choices = format_html_join(
            "",
            '<label><input type="radio" name="{}" value="{}"> It is <span class="code">{}</span></label>',
            ((name + self.TAKEN, one.code, formatted(one)) for one in offered),
        )
        return format_html('{}<div role="radiogroup" aria-label="Codes that may be meant">{}</div>', field, choices)


class Code(forms.CharField):
    """A tag code as a reader or a hand gives it; cleans to a TagCode, or to None when left empty."""

    def __init__(self, **options: Any) -> None:
        widget = Scanned()
        super().__init__(**{"max_length": 60, "widget": widget} | options)

    def clean(self, value: Any) -> TagCode | None:
        text = super().clean(value)
        if not text:
            return None
        reading = read_code(text)
        if reading.refused:
            raise forms.ValidationError([objection.message for objection in reading.objections])
        return reading.value


class PermitNumber(forms.CharField):
    """The number of a permit: those in force today are offered, others may be typed."""

    def __init__(self, **options: Any) -> None:
        given = {"label": "Permit", "required": False, "max_length": 60, "widget": Offering(_permits)}
        super().__init__(**given | options)


class PermitReason(forms.CharField):
    """Why an entry stands against its permit."""

    def __init__(self, **options: Any) -> None:
        help_text = "Only where the permit does not cover it: a manager says who allowed it, and when."
        given = {"label": "Why it stands against the permit", "required": False, "max_length": 4000}
        super().__init__(**given | {"help_text": help_text} | options)


class Abroad(forms.BooleanField):
    """Whether what is sent goes across a border, for which the authority gives a paper of its own."""

    def __init__(self, **options: Any) -> None:
        help_text = "Fish, eggs, milt and samples of these species usually need an export permit; ask the authority."
        super().__init__(**{"label": "It goes across a border", "required": False, "help_text": help_text} | options)


def _permits() -> list[str]:
    return permits_on(timezone.localdate())


class FishNumber(forms.CharField):
    """A fish, by register number or by a scan of its tag; cleans to the register number."""

    def __init__(self, **options: Any) -> None:
        widget = Scanned()
        super().__init__(**{"max_length": 60, "widget": widget} | options)

    def clean(self, value: Any) -> str:
        text = super().clean(value)
        meant = fish_meant(text) if text else []
        here = [hit for hit in meant if hit.now]
        if len(here) == 1:
            return here[0].number
        if not text:
            return ""
        raise forms.ValidationError(_which_fish(text, here or meant), code="which_fish")


def _which_fish(text: str, meant: list[Hit]) -> str:
    if not meant:
        return f"No fish has the number or tag “{shown(text)}”. Scan it again, or look it up in the field at the top."
    named = "; ".join(f"fish {hit.number} {hit.why}" for hit in meant)
    return f"“{shown(text)}” is on no single fish now: {named}. Enter the register number of the fish that you mean."
