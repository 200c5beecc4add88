"""A fish is taken in: one page with sections in the order of the hands; nothing is written until all of it stands."""

from dataclasses import replace
from typing import Any
from urllib.parse import urlencode

from django import forms
from django.http import HttpRequest
from django.utils import timezone

from registry.errors import Objection, Refused
from registry.models import MarkSearch
from registry.operations.intake.arrivals import take_in
from registry.pages.intake.arrive.forms import ArrivalForm, freshly
from registry.pages.intake.arrive.parts import PHOTOS, SAMPLES, SIZES
from registry.permissions import ENTER
from registry.queries.intake.numbers import free_number
from registry.rules.fixed.cautions import ANAESTHETICS, PERMITS
from registry.rules.identity.characters import FARM_SIGNS
from registry.rules.identity.determination import Determined, known_signs, scutes_counted
from registry.rules.identity.likeness import Candidate, Seen
from registry.rules.intake.arrivals import Arrival
from registry.web.entry.characters import looked_at, seen_in, unseen_fields
from registry.web.entry.same_fish import asked_about, offered
from registry.web.entry.upload import tell_too_large
from registry.web.entry_view import EntryView
from registry.web.links import address

WAYS = [way.replace(" ", "_") for way in MarkSearch.Way.values]
# Heading, what to do there, fields.
SECTIONS: tuple[tuple[str, str, tuple[str, ...]], ...] = (
    ("Which fish", "Not sure of the species? Determine it first, or leave it in doubt: it then enters no plan.",
     ("number", "species", "confidence", "evidence", "hybrid", "stock", "sex", "origin")),
    ("Capture", "", (
        "caught_at", "zone", "place", "latitude", "longitude", "uncertainty_m", "river_km", "gear", "crew", "permit",
        "permit_reason")),
    ("Measured", "", ("total_length_mm", "fork_length_mm", "girth_mm", "mass_g")),
    ("Samples", "Labels for the tubes are printed afterwards, from the fish's page.",
     ("fin_clip", "stored_at", "second_tube", "ray", "blood", "swab")),
    ("Photographs", "Position and names that the camera wrote stay in the house; the page shows the picture alone.",
     tuple(f"{what}_{side}" for side in PHOTOS for what in ("photo", "scale"))),
    ("Health", "", ("score", "injuries", "hook")),
    ("On the way here", "", ("transport", "transport_minutes", "density_kg_m3", "oxygen_mg_l")),
    ("Where it goes", "", ("quarantine", "quarantine_since", "unit", "notes")),
)  # fmt: skip


class UnseenForm(forms.Form):
    """What was seen of the fish's species, carried along."""

    def __init__(self, *args: Any, **options: Any) -> None:
        super().__init__(*args, **options)
        self.fields |= unseen_fields()


class TakeIn(EntryView):
    """Take a fish in."""

    form_class = ArrivalForm
    operation = take_in
    permission = ENTER
    title = "Take a fish in"
    button = "Take it in"
    caution = f"{PERMITS} {ANAESTHETICS}"
    template_name = "registry/intake/arrive.html"
    may_be: tuple[Candidate, ...] = ()
    form_names = {
        **{f"capture.{name}": name for name in ArrivalForm.base_fields},
        **{f"measurement.{name}": name for name in ("total_length_mm", "fork_length_mm", "girth_mm", "mass_g")},
        **{f"health.{name}": name for name in ("score", "injuries")},
        **{f"{kind}.number": field for field, kind in SAMPLES.items()},
        **{f"{view}.photo": f"photo_{side}" for side, (view, _) in PHOTOS.items()},
        **{f"marks.{way}": f"found_{way.replace(' ', '_')}" for way in MarkSearch.Way.values},
        **{f"determination.{name}": name for name in ("species", "confidence", "evidence", *SIZES)},
        "reason": "set_aside", "read_on": "tag", "determination.determined_on": "caught_at",
        "quarantine.unit": "quarantine", "quarantine.since": "quarantine_since", "fin clip.second_tube": "second_tube",
        "measurement.checked_on": "caught_at", "code": "tag", "attached_on": "tag", "caught": "caught_at",
    }  # fmt: skip

    def initial(self) -> dict[str, Any]:
        asked = self.request.GET
        seen = {name: asked[name] for name in unseen_fields() if name in asked and name != "signs"}
        first = freshly(free_number(timezone.localdate().year)) | super().initial() | seen
        return first | {"signs": asked.getlist("signs")}

    def write(self, entry: Arrival) -> Any:
        """Write the fish once everybody has looked whether it is one that the register knows."""
        fish = entry.admission
        seen = Seen(
            on=entry.capture.caught_on, code=fish.tag, species=fish.species, stock=fish.stock, sex=fish.sex,
            total_length_mm=entry.measurement.total_length_mm if entry.measurement else None, place=entry.capture.place,
            scutes=scutes_counted(entry.determination),
        )  # fmt: skip
        asked, apart = offered(self.request, seen)
        self.may_be = tuple(asked)
        if asked:
            numbers = ", ".join(one.number for one in asked)
            text = f"It may be a fish that the register knows: {numbers}. Look at each below, and say which it is."
            raise Refused(Objection("same_fish", "", text))
        return super().write(replace(entry, admission=replace(fish, held_apart=apart)))

    def page(self, form: Any, *args: Any, **options: Any) -> Any:
        tell_too_large(form, self.request)
        self.shown = form
        return super().page(form, *args, **options)

    def _typed(self) -> dict[str, str]:
        given = self.request.POST
        told = ("place", "latitude", "longitude", "total_length_mm", "mass_g")
        return {name: given.get(name, "") for name in told} | {
            "code": given.get("tag", ""),
            "site": given.get("tag_site", ""),
            "day": given.get("caught_at", "")[:10],
            "unit": given.get("quarantine") or given.get("unit", ""),
        }

    def context(self) -> dict[str, Any]:
        form = self.shown
        groups = [
            {"title": title, "help": text, "fields": [form[name] for name in names]} for title, text, names in SECTIONS
        ]
        marks = [{"looked": form[f"looked_{way}"], "found": form[f"found_{way}"]} for way in WAYS]
        tag = [form[name] for name in ("tag", "tag_new", "tag_site", "set_aside")]
        unseen = [form[name] for name in unseen_fields() if form[name].is_hidden and form[name].value()]
        brought = unseen_in(self.request)
        return {
            "groups": groups,
            "marks": marks,
            "tag": tag,
            "may_be": asked_about(self.request, self.may_be, self._typed()),
            "unseen": unseen,
            "seen": looked_at(brought.looks),
            "signs": [FARM_SIGNS[sign] for sign in known_signs(brought.signs)],
            "determine": f"{address('species_determine')}?{looked_up(self.request)}",
        }


def unseen_in(request: HttpRequest) -> Determined:
    """Return what was seen on the page before, from the address or from what was sent."""
    form = UnseenForm(request.POST or request.GET)
    form.is_valid()
    return seen_in(form.cleaned_data)


def looked_up(request: HttpRequest) -> str:
    """Return what was seen, as the page that determines the species takes it."""
    sent = request.POST or request.GET
    return urlencode([(name, one) for name in unseen_fields() for one in sent.getlist(name) if one])
