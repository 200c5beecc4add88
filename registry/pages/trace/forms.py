"""What a trace is asked for."""

from django import forms
from django.utils import timezone

from registry.web.fields import Day

WAYS = [("up", "Where it comes from"), ("down", "What came of it")]


class TraceForm(forms.Form):
    """A code or number, which way, and as known on which day."""

    use_required_attribute = False

    q = forms.CharField(
        label="Tag code or number",
        max_length=100,
        required=False,
        help_text="Of a fish, family, batch, release or recapture.",
        widget=forms.TextInput(attrs={"data-takes-scan": "", "class": "code", "autocomplete": "off"}),
    )
    way = forms.ChoiceField(label="Trace", choices=WAYS, required=False)
    known_on = Day(
        label="As known on", required=False, help_text="Empty: as known now. An earlier day leaves out what came later."
    )

    def clean_known_on(self) -> object:
        """Refuse a day that has not come yet."""
        day = self.cleaned_data["known_on"]
        if day and day > timezone.localdate():
            raise forms.ValidationError("This day lies in the future. Leave it empty to see what is known now.")
        return day

    def clean(self) -> dict[str, object]:
        """Refuse an earlier day on the way down, which is answered as known now."""
        values = self.cleaned_data
        if values.get("way") == "down" and values.get("known_on"):
            self.add_error("known_on", "What came of a record is told as known now. Leave the day empty.")
        return values
