"""Numbers that no fish, count or calendar can have: every list and every entry page answers them with a sentence.

Whole numbers of a table end at 2,147,483,647 on PostgreSQL, and at 9,223,372,036,854,775,807 on SQLite.
"""

from collections.abc import Iterator
from datetime import UTC, date, datetime

import pytest
from django.db import transaction
from django.forms import ChoiceField, Field, ModelChoiceField
from django.test import Client
from django.urls import URLPattern, URLResolver
from django_filters import FilterSet

from registry import urls
from registry.files.store import lay_aside
from registry.models import (
    BatchMark,
    Capture,
    Check,
    Determination,
    Document,
    MarkSearch,
    MiltLot,
    Role,
    RoleGrant,
    SpeciesName,
    Stay,
    Tag,
    Transfer,
)
from registry.operations.crossing.milt import MiltCollected, collect_milt
from registry.operations.crossing.plans.drafts import draft_plan
from registry.operations.crossing.spawning import record_spawning
from registry.operations.fish import admit_fish
from registry.operations.identity.joining import join_numbers
from registry.operations.intake.arrivals import take_in
from registry.operations.papers.documents import attach_document
from registry.operations.shared.entries import (
    Admission,
    BatchMarking,
    CrossMade,
    Joining,
    PairWanted,
    PlanDraft,
    SireShare,
    SpawningNight,
)
from registry.operations.young.batches import mark_batch
from registry.permissions import Actor
from registry.rules.intake.arrivals import Arrival
from registry.rules.intake.captures import CaptureMade, MarkLooked
from registry.rules.papers.documents import DocumentAttached
from registry.web.entry_view import EntryView
from registry.web.links import address
from registry.web.lists import RegisterList
from tests.support.broodstock import put_in
from tests.support.care import cared_for
from tests.support.mixed_batch import CODES, mixed_batch
from tests.support.people import person
from tests.support.river import POND, STOCK, TANK
from tests.support.searches import kept_search

# Under nought, and near or over what whole-number columns hold: each in one field after the other.
ABSURD = ("-1", "1000000000", "999999999999", str(10**30))
# What fields already stumble over: in all fields of a form at once.
EVERYWHERE = ("0", "1e9", "NaN", f"1{'0' * 30}.5")
# What is asked by address on pages that are no lists.
ASKED = {
    "trace": ("q", "known_on", "way"),
    "species_determine": (
        "fish",
        "lateral_scutes_left",
        "snout_percent",
        "total_length_mm",
        "mass_g",
        "mouth",
        "river",
    ),
    "species_compare": ("one", "two"),
    "kinship": ("one", "other"),
    "journal_verify": ("anchor",),
    "scan": ("q",),
    "sample_labels": ("first", "count", "fish"),
    "codes": ("q", "order"),
}
DAY = "2012-06-01"
# Corrected, or taken back, with nothing else to be typed than why.
CORRECTED = ("fish", "check", "tag", "sample", "capture", "mark", "health", "milt", "batch_mark")
TAKEN_BACK = ("photo", "sample", "treatment", "health", "quarantine", "capture", "batch_mark", "ploidy")
# What stands in each form beside the absurd number, so that the rules are reached.
FILLED = {
    "fish_admit": {"number": "N1", "species": "ruthenus", "sex": "F", "stock": STOCK, "origin": "wild",
                   "caught": "2011-05-01", "pairs_dam": "F1", "pairs_sire": "M1", "pairs_probability": "1"},
    "tag_attach": {"fish": "F2", "code": "756000000000999", "attached_on": DAY},
    "tag_end": {"code": CODES["X1"], "end_reason": "lost", "ended_on": DAY},
    "tag_replace": {"old": CODES["X1"], "new": "756000000000999", "replaced_on": DAY},
    "check_enter": {"fish": "F1", "checked_on": DAY, "total_length_mm": "800", "mass_g": "3000", "stage": "IV",
                    "polarisation_index": "0.1", "oocytes_measured": "10", "water_c": "12"},
    "fish_arrive": {"number": "N1", "caught_at": "2011-05-01T04:30", "place": "Alder Ford", "species": "ruthenus",
                    "total_length_mm": "800", "mass_g": "2800", "fin_clip": "T-9", "uncertainty_m": "50",
                    "latitude": "47.1", "longitude": "27.5", "quarantine": TANK},
    "quarantine_start": {"fish": "F2", "unit": TANK, "since": DAY},
    "quarantine_release": {"fish": "F1", "until": DAY, "released_by": "VET 7", "findings": "sound"},
    "quarantine_unit": {"unit": POND, "serves": "yes", "day": DAY},
    "treatment_enter": {"fish": "F1", "given_on": DAY, "product": "product", "amount": "as written",
                        "prescriber": "VET 7", "withdrawal_until": "2012-07-01"},
    "sample_send": {"number": "T-1", "sent_on": DAY, "sent_to": "laboratory"},
    "sending_take_back": {"reason": "typed"},
    "sample_enter": {"fish": "F1", "kind": "ray", "number": "R-1", "taken_on": DAY},
    "photo_enter": {"fish": "F1", "view": "left", "taken_on": DAY},
    "health_enter": {"fish": "F1", "looked_on": DAY, "score": "4"},
    **{f"{what}_correct": {"reason": "misread"} for what in CORRECTED},
    **{f"{what}_take_back": {"reason": "another fish"} for what in TAKEN_BACK},
    "family_correct": {"basis": "genotype", "pairs_dam": "F2", "pairs_sire": "M2", "pairs_probability": "1",
                       "reason": "typed"},
    "ploidy_enter": {"fish": "F1", "sets": "2", "method": "karyotype", "measured_on": DAY, "by": "laboratory",
                     "dna_pg": "3.7"},
    "code_aside": {"fish": "F1", "code": CODES["X1"], "read_on": DAY, "reason": "another fish"},
    "aside_resolve": {"fish": "F1", "code": CODES["X1"], "resolution": "misread", "resolved_on": DAY},
    "numbers_join": {"kept": "F1", "other": "F2", "evidence": "asserted", "probability": "0.8", "proved_on": DAY,
                     "reason": "typed"},
    "numbers_part": {"reason": "typed"},
    "fish_return": {"fish": "F1", "returned_on": DAY, "unit": TANK, "known_by": "asserted", "probability": "0.8"},
    "fish_move": {"fish": "F1", "unit": POND, "moved_on": DAY},
    "fish_departure": {"fish": "F1", "left": "died", "left_on": DAY},
    "parentage_determine": {"fish": "X1", "basis": "genotype", "pairs_dam": "F1", "pairs_sire": "M1",
                            "pairs_probability": "1", "reason": "typed"},
    "stay_correct": {"since": DAY, "reason": "misread"},
    "spawning_enter": {"do": "enter", "crosses": "1", "night-spawned_on": DAY, "night-water_c": "12",
                       "cross-0-males": "1", "cross-0-dam": "F1", "cross-0-family": "12-1", "cross-0-egg_mass_g": "90",
                       "cross-0-eggs_per_g": "60", "cross-0-fertilisation_percent": "80", "cross-0-made_at": "23:40",
                       "cross-0-male-0-sire": "M2", "cross-0-male-0-share_percent": "100",
                       "cross-0-male-0-motility_percent": "80", "cross-0-male-0-milt_lot": "",
                       "cross-0-male-0-doses": "1"},
    "induction_enter": {"fish": "F1", "given_on": DAY, "given_at": "23:40", "agent": "product", "dose": "as prescribed",
                        "prescriber": "VET 7"},
    "milt_collect": {"male": "M1", "collected_on": DAY, "number": "L9", "state": "frozen", "doses": "5",
                     "motility_percent": "80"},
    "milt_discard": {"lot": "L1", "doses": "1", "used_on": DAY, "purpose": "tested"},
    "batch_open": {"number": "B9", "opened_on": DAY, "count": "100", "family_0": "10-1", "share_0": "100",
                   "uncertainty": "5"},
    "batch_take": {"batch": "B1", "event": "loss", "count": "1", "moved_on": DAY},
    "batch_count": {"batch": "B1", "counted": "900", "uncertainty": "5", "method": "by weight", "moved_on": DAY},
    "batch_split": {"batch": "B1", "new_number": "B8", "count": "10", "moved_on": DAY},
    "batch_merge": {"batch": "B1", "into": "B3", "count": "10", "moved_on": DAY},
    "batch_move": {"batch": "B1", "unit": TANK, "moved_on": DAY},
    "batch_mark": {"batch": "B1", "kind": "elastomer", "detail": "red", "count": "10", "marked_on": DAY},
    "batch_register": {"batch": "B1", "moved_on": DAY, "number_0": "N1", "tag_0": "756000000000999", "sex_0": "F"},
    "batch_correct": {"count": "10", "reason": "misread"},
    "stock_inherits": {"stock": STOCK, "ploidy": "4", "double_reduction": "0.1", "reason": "typed"},
    "founders_related": {"stock": STOCK, "pairs": "F1, F2, 0.1", "source": "typed"},
    "release_enter": {"released_on": DAY, "place": "the weir", "latitude": "47.1", "longitude": "27.5", "permit": "P-9",
                      "mean_mass_g": "10", "batch_0": "B1", "count_0": "10", "fish_0": "X1"},
    "release_correct": {"reason": "misread", "latitude": "47.1", "longitude": "27.5", "mean_mass_g": "10"},
    "permit_enter": {"number": "P-8", "issuer": "authority", "valid_from": DAY, "act_0": "release", "most_0": "10"},
    "permit_correct": {"act_0": "release", "most_0": "10", "reason": "misread"},
    "permit_take_back": {"reason": "misread"},
    "document_attach": {"title": "letter", "kind": "fish", "number": "F1"},
    "document_also": {"kind": "fish", "number": "F1"},
    "document_withdraw": {"reason": "misread"},
    "recapture_enter": {"fish": "X1", "recaptured_on": DAY, "place": "the bridge", "latitude": "47.1",
                        "longitude": "27.5", "total_length_mm": "500", "mass_g": "900"},
    "unit_open": {"name": "Tank 9", "kind": "tank", "facility": "Quern Mill"},
    "temperature_log": {"water_c": "12.5", "read_at": "2012-06-01T10:00"},
    "stock_open": {"name": "Stock 9", "species": "ruthenus", "river": "Isendre"},
    "figure_set": {"key": "ripe_check_days", "value": "300", "in_force_from": DAY, "source": "house meeting"},
    "invite": {"name": "hand9", "password": "a long one 4711", "role": "staff"},
    "role_grant": {"name": "viewer", "role": "staff", "since": DAY},
    "password_give": {"name": "viewer", "password": "a long one 4711"},
    "role_end": {"day": "2021-01-01", "reason": "moved on"},
    "determination_enter": {"fish": "X1", "determined_on": DAY, "lateral_scutes_left": "60", "snout_percent": "40",
                            "total_length_mm": "500", "mass_g": "900", "mouth": "small", "confidence": "field"},
    "determination_take_over": {"reason": "by the report"},
    "determination_take_back": {"reason": "another fish"},
    "species_open": {"scientific_name": "Acipenser novus", "common_name": "New", "ploidy": "4",
                     "chromosome_class": "middle", "max_length_mm": "2000", "max_mass_g": "90000",
                     "source": "a book", "reason": "held here"},
    "species_name_add": {"species": "ruthenus", "kind": "accepted", "name": "A. x", "authority": "A list",
                         "year": "2024", "source": "the list", "reason": "new list"},
    "species_name_take_back": {"reason": "misspelt"},
    "river_standing_set": {"species": "ruthenus", "river": "Isendre", "standing": "native", "source": "catch books",
                           "reason": "asked"},
    "species_figure_change": {"low": "55", "usual_low": "56", "usual_high": "60", "high": "71", "source": "a key",
                              "reason": "counted"},
    "species_looks_change": {"share_smooth": "0.5", "share_fringed": "0.5", "source": "a key", "reason": "counted"},
    "off_plan_seen": {"words": "rightly so"},
    "plan_draft": {"number": "P9", "stock": STOCK, "season": "2012"},
    "plan_sign": {"statement": "as drafted"},
    "plan_submit": {"words": "ready"},
    "plan_return": {"words": "not yet"},
    "plan_close": {"words": "nobody goes on with it"},
    "plan_amend": {"reason": "a fish died"},
    "plan_remark": {"words": "thin", "dam": "F2", "sire": "M2"},
    "plan_not_made": {"dam": "F2", "sire": "M2", "reason": "no milt"},
    "plan_terms": {"crosses": "4", "scheme": "nested", "mates": "2", "price": "0.5", "weight_of_young": "0.5",
                   "count_living": "on"},
    "plan_limit": {"how": "set", "value": "0.2", "reason": "to see"},
    "plan_restore": {},
    "plan_fish": {"fish": "M2", "stand": "limited", "most": "2", "reason": "thin"},
    "plan_choose": {"females": ["F2"], "males": ["M2"], "reason": "oldest"},
    "plan_add": {"dam": "F1", "sire": "M2", "comment": "late"},
    "plan_take_out": {"dam": "F2", "sire": "M2", "reason": "ill"},
    "plan_swap": {"dam": "F2", "sire": "M2", "new_dam": "F1", "new_sire": "M2", "reason": "ill"},
    "plan_stand": {"dam": "F2", "sire": "M2", "stand": "forbidden", "reason": "ill"},
    "plan_size": {"dam": "F2", "sire": "M2", "young": "400"},
    "plan_take": {"reason": "keeps most"},
}  # fmt: skip
PLAN_LIMITS = ("plan_limit", "plan_restore")
PLAN_PAGES = [name for name in FILLED if name.startswith("plan_") and name != "plan_draft"]


def patterns(held: list[URLPattern | URLResolver]) -> Iterator[URLPattern]:
    for one in held:
        if isinstance(one, URLResolver):
            yield from patterns(one.url_patterns)
        else:
            yield one


def views(kind: type) -> dict[str, type]:
    """Return the site's views of a kind by the name of their address."""
    found = {one.name: getattr(one.callback, "view_class", None) for one in patterns(urls.urlpatterns)}
    return {name: view for name, view in found.items() if view and issubclass(view, kind)}


def asked_by(filters: type[FilterSet]) -> Iterator[str]:
    """Yield what a list is asked by: the name of each filter, or of both its ends."""
    for name, one in filters.base_filters.items():
        ends = getattr(one.extra.get("widget", one.field_class.widget), "suffixes", ())
        yield from [f"{name}_{end}" for end in ends] or [name]


LISTS = {name: [*asked_by(view.filter_class), "page", "per_page", "sort"] for name, view in views(RegisterList).items()}


@pytest.mark.django_db
@pytest.mark.parametrize("name", sorted(LISTS | ASKED))
def test_every_list_answers_absurd_numbers_with_a_page(client_of, name):
    mixed_batch()
    client = of_all_roles(client_of)
    for asked in (LISTS | ASKED)[name]:
        for number in ABSURD:
            answer = client.get(address(name), {"stock": STOCK, asked: number} if name in ASKED else {asked: number})
            assert answer.status_code in (200, 302, 404, 422), f"?{asked}={number} is answered {answer.status_code}"


@pytest.mark.django_db
@pytest.mark.parametrize(("number", "everywhere"), list(zip(ABSURD, EVERYWHERE, strict=True)))
def test_every_entry_page_answers_absurd_numbers_with_a_sentence(client_of, number, everywhere):
    river = mixed_batch()
    collect_milt(
        river.by, MiltCollected(number="L1", male="M1", collected_on=date(2010, 5, 1), state="frozen", doses=5)
    )
    night = CrossMade(dam="F1", sires=(SireShare(sire="M2"),), family="11-9", off_plan_reason="typed")
    record_spawning(river.by, SpawningNight(spawned_on=date(2011, 5, 2), crosses=(night,)))
    for double in ("Z1", "Z2"):
        admit_fish(river.by, Admission(number=double))
    join_numbers(person(Role.MANAGER), Joining(kept="Z1", other="Z2", evidence="genotype", proved_on=date(2012, 1, 1),
                                               reason="typed"))  # fmt: skip
    draft_plan(person(Role.GENETICIST), PlanDraft(number="P1", stock=STOCK, season=2012))
    put_in("P1", PairWanted(dam="F2", sire="M2"))
    done = cared_for(river.by, "F1")
    client = of_all_roles(client_of)
    caught_and_marked(river.by)
    for name in ("check_enter", "determination_enter"):
        client.post(address(name), FILLED[name])
    client.post(address("permit_enter"), FILLED["permit_enter"] | {"number": "P-7"})
    parts = {
        "numbers_part": "Z2", "fish_correct": "X1",
        "check_correct": Check.objects.last().pk, "tag_correct": Tag.objects.first().pk,
        "stay_correct": Stay.objects.first().pk, "sample_correct": done.sample.pk, "family_correct": "10-1",
        "health_correct": done.health.pk, "mark_correct": MarkSearch.objects.first().pk,
        **dict.fromkeys(("capture_correct", "capture_take_back"), Capture.objects.get().pk),
        **dict.fromkeys(("batch_mark_correct", "batch_mark_take_back"), BatchMark.objects.first().pk),
        "milt_correct": MiltLot.objects.first().pk,
        **{f"{what}_take_back": row.pk for what, row in vars(done).items()},
        "induction_enter": river.spawning.number, "release_correct": "R1", **dict.fromkeys(PLAN_PAGES, "P1"),
        **dict.fromkeys(PLAN_LIMITS, ("P1", "relationship")), "plan_take": ("P1", kept_search("P1", ("F2", "M2")), 0),
        "permit_correct": "P-7", "permit_take_back": "P-7",
        **dict.fromkeys(("document_also", "document_withdraw"), number_of(river.by)),
        "off_plan_seen": "11-9",
        "batch_correct": Transfer.objects.get(event="release").pk, "role_end": RoleGrant.objects.first().pk,
        "determination_take_over": Determination.objects.get().pk,
        "determination_take_back": Determination.objects.get().pk,
        "species_name_take_back": SpeciesName.objects.first().pk,
        "species_figure_change": ("ruthenus", "lateral_scutes"), "species_looks_change": ("ruthenus", "barbel_form"),
    }  # fmt: skip

    assert set(FILLED) == set(views(EntryView)), "say here what stands in the form of a new entry page"
    for name, filled in FILLED.items():
        named = parts.get(name, ())
        target = address(name, *(named if isinstance(named, tuple) else (named,)))
        shown = client.get(target).context["form"]
        fields = list(shown) if hasattr(shown, "fields") else []
        held = {one.html_name: one.value() for one in fields}
        refused_alike = set() if number == ABSURD[0] else {one.html_name for one in fields if is_closed(one.field)}
        base = {key: value for key, value in (held | filled).items() if value not in (None, False)}
        told = answered(client, target, dict.fromkeys({*base, *held}, everywhere))
        assert told in (200, 302, 422), f"{name}: {everywhere} in every field is answered {told}"
        for field in sorted({*base, *held} - refused_alike):
            told = answered(client, target, base | {field: number})
            assert told in (200, 302, 422), f"{name}: {number} as {field} is answered {told}"


def is_closed(field: Field) -> bool:
    """Return whether a field takes one of a few fixed answers, so that it is enough to ask it with one number."""
    return isinstance(field, ChoiceField) and not isinstance(field, ModelChoiceField)


def caught_and_marked(by: Actor) -> None:
    """Take a fish in with its capture, and mark a batch."""
    caught = datetime(2011, 5, 1, 4, 30, tzinfo=UTC)
    capture = CaptureMade(fish="N0", caught_at=caught, zone="UTC", place="Alder Ford")
    marks = (MarkLooked(way="pit", looked=True),)
    take_in(by, Arrival(admission=Admission(number="N0"), capture=capture, marks=marks))
    mark_batch(by, BatchMarking(batch="B1", kind="fin clip", marked_on=date(2010, 9, 1)))


def number_of(by: Actor) -> str:
    """Return the number of a document about fish F2, attached on the first asking."""
    on = {"kind": "fish", "number": "F2", "title": "letter"}
    laid = lay_aside([b"seen"], "a.txt")
    held = Document.objects.values_list("number", flat=True).first()
    return held or attach_document(by, DocumentAttached(sha256=laid.sha256, name="a.txt", **on)).number


def answered(client: Client, target: str, values: dict) -> int:
    """Return how a form is answered; what it wrote is taken back."""
    with transaction.atomic():
        status = client.post(target, values).status_code
        transaction.set_rollback(True)
    return status


def of_all_roles(client_of) -> Client:
    """Return the browser of someone who may do everything."""
    client = client_of("administrator")
    who = RoleGrant.objects.get(user__username="administrator")
    for role in (Role.GENETICIST, Role.AUDITOR):
        client.post(address("role_grant"), {"name": who.user.username, "role": role, "since": "2020-01-01"})
    client.raise_request_exception = False
    return client
