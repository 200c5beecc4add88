"""What the forms of intake offer to choose from: quarantine units, permits for captures, time zones."""

from django import forms
from django.conf import settings
from django.utils import timezone

from registry.models import HoldingUnit, PermitAllowance, QuarantineUse, Species, Stock
from registry.rules.intake.zones import OFFSETS
from registry.web.notations import named

Choice = tuple[str, str]
SCAN = "Scan it, or type its register number."


def batch_number() -> forms.CharField:
    """Return a field for a batch, where either a fish or a batch is meant."""
    widget = forms.TextInput(attrs={"class": "code"})
    return forms.CharField(required=False, max_length=40, label="Or batch", widget=widget, help_text="Its number.")


def _quarantine_units() -> list[Choice]:
    serving = QuarantineUse.objects.current().filter(until__isnull=True).values("unit")
    rows = HoldingUnit.objects.current().filter(pk__in=serving).select_related("facility")
    return [(unit.name, f"{unit.name} ({unit.facility})") for unit in rows]


def _units() -> list[Choice]:
    rows = HoldingUnit.objects.current().select_related("facility")
    return [(unit.name, f"{unit.name} ({unit.get_kind_display().lower()}, {unit.facility})") for unit in rows]


def _species() -> list[Choice]:
    rows = Species.objects.current().values_list("key", "scientific_name", "common_name")
    return [(key, f"{scientific} ({common})") for key, scientific, common in rows]


def _stocks() -> list[Choice]:
    return [(name, name) for name in Stock.objects.current().values_list("name", flat=True)]


quarantine_units, units, species, stocks = named(_quarantine_units), named(_units), named(_species), named(_stocks)


def permits_for_capture() -> list[str]:
    """Return the numbers of permits in force that allow a capture."""
    today = timezone.localdate()
    rows = PermitAllowance.objects.filter(act="capture", details__withdrawn__isnull=True)
    rows = rows.filter(details__valid_from__lte=today).exclude(details__valid_until__lt=today)
    return sorted(set(rows.values_list("details__permit__number", flat=True)))


def zones() -> list[Choice]:
    """Return the zones in which a clock may have been read, the hatchery's own first."""
    own = settings.TIME_ZONE
    others = [name for name in ("UTC", *OFFSETS) if name != own]
    return [(own, f"{own} (the hatchery's)"), *((name, name) for name in others)]
