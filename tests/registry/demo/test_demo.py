"""The demo: Brackenholt Weir with all its troubles, built through the operations, the same for the same seed."""

import json
import re
from collections import Counter
from collections.abc import Iterator
from datetime import date
from io import StringIO
from types import SimpleNamespace
from typing import Any

import pytest
from django.contrib.auth.models import User
from django.core.management import call_command
from django.db import connection, transaction
from django.db.models import Count, F

from registry.demo.build import build_demo
from registry.journal.verify import verify
from registry.models import (
    Batch,
    Cross,
    CrossPlan,
    FamilyParents,
    Fish,
    FishDetails,
    HoldingUnit,
    Induction,
    JournalEntry,
    MiltLot,
    ParentPair,
    PlanAnswer,
    PloidyFound,
    Recapture,
    Role,
    RoleGrant,
    Stock,
    Tag,
)
from registry.queries.composition import shares_on
from registry.queries.crosses.states import stated
from tests.support.proof import everything

pytestmark = pytest.mark.django_db
SOON = "season 2001"


class Stopped(Exception):
    """The build was stopped early."""


def fingerprint() -> dict[str, list[Any]]:
    """Return what a person would know a register by: numbers, codes, and what the journal says in order."""
    entries = JournalEntry.objects.order_by("seq")
    return {
        "fish": list(Fish.objects.order_by("pk").values_list("number", flat=True)),
        "codes": list(Tag.objects.order_by("pk").values_list("code", "fish__number")),
        "journal": list(entries.values_list("who", "what", "subject", "source")),
    }


def first_seasons(seed: int) -> dict[str, list[Any]]:
    """Build until that season with this seed, and take it all back."""
    seen: dict[str, list[Any]] = {}

    def look(season: str) -> None:
        if season == SOON:
            seen.update(fingerprint())
            raise Stopped

    with pytest.raises(Stopped), transaction.atomic():
        build_demo(seed, tell=look)
    return seen


@pytest.fixture(scope="module")
def demo(django_db_setup: None, django_db_blocker: Any) -> Iterator[SimpleNamespace]:
    """Build the demo once for all tests of this file, and take it back after them."""
    with django_db_blocker.unblock(), transaction.atomic():
        same, other = first_seasons(seed=1), first_seasons(seed=2)
        soon: dict[str, list[Any]] = {}
        build_demo(tell=lambda season: soon.update(fingerprint()) if season == SOON else None)
        connection.check_constraints()  # once here, or after each test
        yield SimpleNamespace(soon=soon, same=same, other=other)
        transaction.set_rollback(True)


def generations(prefix: str) -> int:
    """Return how many generations a stock has, founders the first."""
    pairs = ParentPair.objects.filter(parentage__fish__withdrawn=None, parentage__fish__fish__number__startswith=prefix)
    above: dict[int, set[int]] = {}
    for child, dam, sire in pairs.values_list("parentage__fish__fish", "dam", "sire"):
        above.setdefault(child, set()).update({dam, sire})
    reached: dict[int, int] = {}

    def depth(fish: int) -> int:
        if fish not in reached:
            reached[fish] = 1 + max(map(depth, above.get(fish, ())), default=0)
        return reached[fish]

    return max(map(depth, above))


def test_it_has_fifteen_hundred_fish_over_five_generations(demo: SimpleNamespace) -> None:
    assert Fish.objects.count() >= 1500
    assert generations("UI") >= 5
    assert generations("LI") >= 5
    assert generations("MA") >= 2
    assert FishDetails.objects.order_by("caught_on").exclude(caught_on=None)[0].caught_on.year == 1994


def test_it_has_the_stocks_and_stations_of_the_scenario(demo: SimpleNamespace) -> None:
    assert dict(Stock.objects.values_list("name", "species__scientific_name")) == {
        "Upper Isendre": "Acipenser ruthenus",
        "Lower Isendre": "Acipenser ruthenus",
        "Maroway": "Acipenser oxyrinchus",
    }
    assert set(HoldingUnit.objects.values_list("facility__name", flat=True)) == {"Brackenholt Weir", "Quern Mill"}


def test_its_journal_verifies_and_says_that_it_is_the_demo(demo: SimpleNamespace) -> None:
    report = verify()
    assert report.sound, [finding.message for finding in report.findings]
    assert report.entries == JournalEntry.objects.count() > 1000
    assert set(JournalEntry.objects.values_list("source", flat=True)) == {"demo"}


def test_the_same_seed_builds_the_same_register(demo: SimpleNamespace) -> None:
    assert len(demo.soon["fish"]) > 20
    assert demo.soon == demo.same
    assert demo.soon["codes"] != demo.other["codes"]


def test_a_tag_was_lost_and_a_dead_one_replaced(demo: SimpleNamespace) -> None:
    assert Tag.objects.filter(end_reason="lost").exists()
    dead = Tag.objects.get(end_reason="dead")
    assert Tag.objects.filter(fish=dead.fish, attached_on=dead.ended_on, ended_on=None).exists()


def test_a_fish_bears_two_tags(demo: SimpleNamespace) -> None:
    open_tags = Tag.objects.current().filter(ended_on=None, fish__details__left="", fish__details__withdrawn=None)
    assert open_tags.order_by().values("fish").annotate(n=Count("pk")).filter(n=2).count() == 1


def test_a_family_is_of_pooled_milt(demo: SimpleNamespace) -> None:
    (pooled,) = FamilyParents.objects.filter(parentage__basis="pooled")
    shares = [str(pair.probability.normalize()) for pair in pooled.parentage.pairs.all()]
    assert shares == ["0.5", "0.5"]
    assert FishDetails.objects.filter(family=pooled.family).exists()


def test_a_batch_is_of_two_families_and_fish_were_tagged_out_of_it(demo: SimpleNamespace) -> None:
    rows = FishDetails.objects.current().filter(parentage__basis="mixed")
    batch = Batch.objects.get(pk__in=rows.values("from_batch"))
    day = rows[0].entry.happened_at.date()
    assert len(shares_on({(batch.number, day)})[batch.number, day]) == 2
    assert rows.count() >= 12


def test_mistakes_were_corrected(demo: SimpleNamespace) -> None:
    corrections = JournalEntry.objects.filter(corrects__isnull=False)
    assert Counter(corrections.values_list("what", flat=True)) == {
        "transfer corrected": 1, "fish details corrected": 2, "document withdrawn": 1,
    }  # fmt: skip
    assert not corrections.filter(reason="").exists()


def test_one_fish_was_met_with_its_tag_and_one_without_a_mark(demo: SimpleNamespace) -> None:
    marked = Recapture.objects.get(link="certain")
    assert FishDetails.objects.current().get(fish=marked.fish).left == "released"
    unmarked = Recapture.objects.get(link="none")
    assert (unmarked.fish, unmarked.release, unmarked.code_read) == (None, None, "")


def test_a_fish_taken_for_wild_proved_to_be_kin(demo: SimpleNamespace) -> None:
    now = FishDetails.objects.current().get(parentage__basis="genotype")
    then = FishDetails.objects.get(fish=now.fish, parentage=None)
    assert (then.origin, then.withdrawn_id) == ("wild", now.entry_id)


def test_fish_of_doubtful_species_are_in_no_cross(demo: SimpleNamespace) -> None:
    doubtful = FishDetails.objects.current().filter(confidence="doubtful")
    assert {row.species.key for row in doubtful} == {"baerii"}
    fish = doubtful.values("fish")
    assert not Cross.objects.filter(dam__in=fish).exists()
    assert not Cross.objects.filter(sires__sire__in=fish).exists()


def test_there_is_a_bank_of_frozen_milt_of_the_atlantic_sturgeon(demo: SimpleNamespace) -> None:
    males = MiltLot.objects.filter(state="frozen").values("male")
    species = FishDetails.objects.current().filter(fish__in=males).values_list("species__key", flat=True)
    assert set(species) == {"oxyrinchus"}


def test_no_fish_was_crossed_with_its_full_sib(demo: SimpleNamespace) -> None:
    known = Cross.objects.filter(sires__sire__details__withdrawn=None, dam__details__withdrawn=None)
    sibs = known.filter(dam__details__parentage=F("sires__sire__details__parentage"))
    assert not sibs.exists()


def test_there_is_a_plan_in_every_state_and_a_cross_made_outside_one(demo: SimpleNamespace) -> None:
    plans = dict(stated(CrossPlan.objects.all()).values_list("number", "state"))
    assert plans == {
        "2026-UI": "closed", "2027-UI": "superseded", "2027-UI-A1": "signed", "2027-LI": "draft",
        "2027-MA": "under review", "2027-LI-impossible": "draft",
    }  # fmt: skip
    bounded = PlanAnswer.objects.current().filter(lower_bound__gt=0).values_list("plan__number", flat=True)
    assert set(bounded) == {"2027-UI", "2027-UI-A1", "2027-LI", "2027-MA"}
    assert set(PloidyFound.objects.values_list("sets", flat=True)) == {2, 3}
    off = Cross.objects.exclude(off_plan_reason="").get()
    assert (off.spawning.number, off.planned) == ("S26-UI", None)
    assert Cross.objects.filter(planned__plan__number="2026-UI").count() == 3


def test_accounts_are_named_by_role_and_nobody_else_is_named(demo: SimpleNamespace) -> None:
    assert set(User.objects.values_list("username", flat=True)) == set(Role.values)
    assert set(RoleGrant.objects.values_list("user__username", "role")) == {(role, role) for role in Role.values}
    assert set(JournalEntry.objects.values_list("who", flat=True)) <= {*Role.values, "installer"}
    people = {*Recapture.objects.values_list("reported_by", flat=True)}
    people |= {*Induction.objects.values_list("prescriber", flat=True)}
    assert not [one for one in people if re.search(r"\b[A-Z][a-z]+ [A-Z]", one)]


def test_nothing_happened_after_today_or_before_the_hatchery_was_opened(demo: SimpleNamespace) -> None:
    days = JournalEntry.objects.exclude(who="installer").order_by("happened_at").values_list("happened_at", flat=True)
    assert days[0].date() >= date(1994, 1, 1)
    assert days.reverse()[0] <= JournalEntry.objects.order_by("-entered_at")[0].entered_at


def test_the_command_leaves_a_register_as_it_is(demo: SimpleNamespace) -> None:
    before = everything()
    out, err = StringIO(), StringIO()
    call_command("demo", "--no-serve", "--json", stdout=out, stderr=err)
    assert everything() == before
    assert "The data folder already holds a register; it is left as it is." in err.getvalue()
    said = json.loads(out.getvalue())
    assert (said["fish"], said["journal_entries"]) == (Fish.objects.count(), JournalEntry.objects.count())
    assert set(said["accounts"]) == set(Role.values)
