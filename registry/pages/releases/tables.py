"""The lists of releases and recaptures: page, file and print."""

from decimal import Decimal

from registry.models import Recapture, ReleaseDetails
from registry.web.tables import DayColumn, LinkColumn, NumberColumn, RegisterTable, tables

MISSING_PERMIT = "none given"


class ReleaseTable(RegisterTable):
    """Every release."""

    number = LinkColumn(accessor="release__number", page="release", verbose_name="Release")
    released_on = DayColumn(accessor="release__released_on", verbose_name="Released")
    place = tables.Column(verbose_name="Place")
    fish = NumberColumn(verbose_name="Fish")
    tagged_fish = NumberColumn(verbose_name="Of these registered")
    mark = tables.Column(verbose_name="Batch mark")
    permit = tables.Column(verbose_name="Permit", empty_values=())
    met_again = NumberColumn(verbose_name="Met again")
    latitude = NumberColumn(verbose_name="Latitude (°)")
    longitude = NumberColumn(verbose_name="Longitude (°)")
    last_order = "release__number"

    class Meta(RegisterTable.Meta):
        model = ReleaseDetails
        fields = ("number", "released_on", "place", "fish", "tagged_fish", "mark", "permit", "met_again", "latitude",
                  "longitude")  # fmt: skip
        order_by = ("-released_on",)
        empty_text = "No release fits. Loosen a filter; a manager enters the first release."

    def render_permit(self, record: ReleaseDetails) -> str:
        """Return the permit's number, or say that there is none."""
        return record.permit or MISSING_PERMIT

    def value_permit(self, record: ReleaseDetails) -> str:
        """Return the permit's number."""
        return record.permit


class RecaptureTable(RegisterTable):
    """Every fish met again."""

    number = LinkColumn(page="recapture", verbose_name="Recapture")
    recaptured_on = DayColumn(verbose_name="Met on")
    place = tables.Column(verbose_name="Place")
    fish = LinkColumn(accessor="fish__number", page="fish", verbose_name="Fish")
    release = LinkColumn(accessor="release__number", page="release", verbose_name="Release")
    link = tables.Column(verbose_name="Link")
    code_read = tables.Column(verbose_name="Code read", attrs={"td": {"class": "code"}})
    marks = tables.Column(verbose_name="Marks")
    total_length_mm = NumberColumn(verbose_name="Length (mm)")
    mass_g = NumberColumn(verbose_name="Weight (g)")
    alive = tables.Column(verbose_name="Alive")
    last_order = "number"

    class Meta(RegisterTable.Meta):
        model = Recapture
        fields = ("number", "recaptured_on", "place", "fish", "release", "link", "code_read", "marks",
                  "total_length_mm", "mass_g", "alive")  # fmt: skip
        order_by = ("-recaptured_on",)
        empty_text = "No fish was met again yet. Enter a recapture by its tag, its mark, or as an unmarked fish."

    def render_alive(self, value: bool) -> str:
        """Return yes or no."""
        return "yes" if value else "no"


def degrees(value: Decimal | None, letters: str) -> str:
    """Return a coordinate for people: 47.160900° N."""
    if value is None:
        return "–"
    return f"{abs(value).normalize():f}° {letters[0] if value >= 0 else letters[1]}"
