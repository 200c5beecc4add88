"""An anchor written down earlier, to compare with."""

from django import forms

from registry.journal.verify import Anchor, read_anchor


class AnchorForm(forms.Form):
    """An anchor, or nothing."""

    use_required_attribute = False

    anchor = forms.CharField(
        label="Anchor",
        required=False,
        max_length=100,
        help_text="Number and hash of an entry that was written down earlier, as in 120:9f86d0… Empty: none at hand.",
        widget=forms.TextInput(attrs={"class": "code", "autocomplete": "off", "spellcheck": "false"}),
    )

    def clean_anchor(self) -> Anchor | None:
        """Read the anchor."""
        text = self.cleaned_data["anchor"]
        try:
            return read_anchor(text) if text else None
        except ValueError as fault:
            raise forms.ValidationError(str(fault)) from fault
