"""Photographs in forms: read, painted anew without what must stay in the house, and laid aside."""

from datetime import datetime
from typing import Any

from django import forms

from registry.files.pictures import KINDS, LaidPicture, lay_picture_aside
from registry.files.store import laid_content
from registry.web.entry.upload import KeptUpload


class PhotoUpload(KeptUpload):
    """A photograph; cleans to a LaidPicture, or to None when left empty."""

    def __init__(self, **options: Any) -> None:
        super().__init__(**{"kinds": KINDS, "required": False} | options)
        self.widget.attrs["capture"] = "environment"  # a tablet opens its camera

    def clean(self, data: Any, initial: Any = None) -> LaidPicture | None:
        laid = super().clean(data, initial)
        if laid is None:
            return None
        reading = lay_picture_aside(laid, laid_content(laid.sha256) or b"")
        if reading.refused:
            self.widget.laid = None  # or it would come along, and be refused, for ever
            raise forms.ValidationError([forms.ValidationError(o.message, o.code) for o in reading.objections])
        return reading.value


class Clock(forms.DateTimeField):
    """Day and clock time as read at a place, without a zone: the form asks for that beside it."""

    def __init__(self, **options: Any) -> None:
        widget = forms.DateTimeInput(attrs={"type": "datetime-local"}, format="%Y-%m-%dT%H:%M")
        invalid = "This is not a time. Pick it, or write it as 2026-05-03T14:05."
        super().__init__(**{"widget": widget, "error_messages": {"invalid": invalid}} | options)

    def prepare_value(self, value: Any) -> Any:
        return value

    def to_python(self, value: Any) -> datetime | None:
        text = str(value or "").strip()
        if not text:
            return None
        for notation in ("%Y-%m-%dT%H:%M", "%Y-%m-%dT%H:%M:%S", "%Y-%m-%d %H:%M"):
            try:
                return datetime.strptime(text, notation)  # noqa: DTZ007  (the zone is the form's other field)
            except ValueError:
                continue
        raise forms.ValidationError(self.error_messages["invalid"], code="invalid")
