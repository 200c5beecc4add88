"""What a person says of a sheet: the file, what its rows are, how its days and decimals are meant."""

from datetime import date
from typing import Any

from django import forms
from django.utils import timezone

from registry.permissions import Actor, may
from registry.rules.days import spoken
from registry.rules.tags.raw import PROFILES
from registry.sheets.cells import MAX_BYTES
from registry.sheets.columns import fields_of
from registry.sheets.preview import KINDS
from registry.web.fields import Day

KIND_WORDS = {
    "fish": "Fish: one fish a row, with parents, tag and dates",
    "tags": "Tags: codes put in, lost and replaced",
    "spawnings": "Spawnings: one female × male a row",
    "batches": "Batches: opened, lost, counted, split, merged, moved",
    "releases": "Releases: batches or single fish put into the river",
    "measurements": "Measurements: fish in hand, by tag",
}
FIELD_WORDS = {
    "aside": "set aside, because",
    "id": "fish number", "tag": "tag code", "code": "tag code", "dam": "dam", "sire": "sire", "put_in": "put in on",
    "taken_out": "taken out on", "why": "why it ended", "evidence": "how known", "egg_weight_g": "egg mass",
    "eggs_per_g": "eggs per g", "motility": "milt motility (%)", "fertilisation": "fertilisation (%)",
    "from": "from (families or batch)", "event": "what happened", "lat": "latitude", "lon": "longitude",
    "source": "batch, or tags", "mean_weight_g": "mean mass", "tl_mm": "total length", "weight_g": "mass",
    "sexstage": "sex and stage in one", "age": "age (not kept)",
}  # fmt: skip
LIMIT_MB = MAX_BYTES // 2**20
_ORDERS = [("", "refuse what can be read both ways"), ("dmy", "day first: 3 May"), ("mdy", "month first: 5 March")]
_SIGNS = [("", "refuse what can be read both ways"), ("point", "point: 1.250 is one and a quarter"),
          ("comma", "comma: 1,250 is one and a quarter")]  # fmt: skip


_RAW = [("", "there are none"), *((one.key, one.name) for one in PROFILES)]


class UploadForm(forms.Form):
    """The first step."""

    use_required_attribute = False

    file = forms.FileField(
        label="File", help_text=f"CSV or XLSX, up to {MAX_BYTES // 2**20} MB.", allow_empty_file=True
    )
    kind = forms.ChoiceField(label="What its rows are", widget=forms.RadioSelect)
    as_of = Day(
        label="Entered up to", help_text="Days after this one are refused. For an old book, the day of its last change."
    )

    def __init__(self, who: Actor, too_large: int = 0, *args: Any, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        self.too_large = too_large
        allowed = [kind for kind in KINDS if may(who, KINDS[kind].permission)]
        self.fields["kind"].choices = [(kind, KIND_WORDS[kind]) for kind in allowed]  # type: ignore[attr-defined]
        self.fields["file"].error_messages["required"] = self._no_file()
        self.fields["kind"].error_messages["required"] = "Say what the rows of the sheet are."
        self.fields["as_of"].error_messages["required"] = "The day is missing. Take today if you are not sure."

    def _no_file(self) -> str:
        if not self.too_large:
            return "No file was chosen. Choose the CSV or XLSX file."
        size = f"The file has {self.too_large / 2**20:.0f} MB; the limit is {LIMIT_MB} MB."
        return f"{size} Split it by year, or save only the sheet that is wanted."

    def clean_as_of(self) -> date:
        return not_later(self.cleaned_data["as_of"])


class ReadingForm(forms.Form):
    """How the sheet is to be read."""

    use_required_attribute = False

    sheet = forms.ChoiceField(label="Sheet of the workbook", required=False)
    date_order = forms.ChoiceField(label="Days like 03/05/2019", choices=_ORDERS, required=False)
    decimal = forms.ChoiceField(label="Weights and lengths like 1,250", choices=_SIGNS, required=False)
    raw = forms.ChoiceField(
        label="Tags as raw bits",
        choices=_RAW,
        required=False,
        help_text="How the reader that wrote them hands them out.",
    )
    as_of = Day(label="Entered up to")

    def __init__(self, sheets: list[str], *args: Any, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        self.fields["sheet"].choices = [(name, name) for name in sheets]  # type: ignore[attr-defined]
        if len(sheets) < 2:
            del self.fields["sheet"]

    def clean_as_of(self) -> date:
        return not_later(self.cleaned_data["as_of"])


def not_later(day: date) -> date:
    """Return the day; refuse one in the future."""
    today = timezone.localdate()
    if day > today:
        raise forms.ValidationError(
            f"{spoken(day)} lies in the future. Take today, {spoken(today)}, or an earlier day."
        )
    return day


def field_choices(kind: str) -> list[tuple[str, str]]:
    """Return what a column can stand for."""
    words = [(name, FIELD_WORDS.get(name, name.replace("_", " "))) for name in fields_of(kind)]
    return [("", "not used"), *words]
