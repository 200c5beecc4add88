"""The home page says what needs doing today, by role."""

from datetime import date, datetime, timedelta
from decimal import Decimal

import pytest
from django.utils import timezone

from registry import models as kept
from registry.journal import write
from registry.permissions import CORRECT, READ_JOURNAL, Actor, may
from registry.queries.due.today import journal_head, sections
from tests.support.world import SETUP, species

pytestmark = pytest.mark.django_db

TODAY = date(2031, 5, 3)


def dues(role, title, today=TODAY):
    """Return what one list of a role says, as (text, detail)."""
    found = {section.title: section for section in sections({role}, today)}
    return [(due.text, due.detail) for due in found[title].dues]


def figure(hand, key, days, since):
    about = {"unit": "days", "meaning": "m", "source": "invented"}
    hand.put(kept.PolicyFigure(key=key, value=days, in_force_from=since, **about))


@pytest.fixture
def living(world, hand):
    """F1 (female) and M1 (male) live in the tanks of the stock Lower Isendre."""
    for key, days in (("ripe_check_days", 400), ("census_due_days", 30)):
        figure(hand, key, days, date(1900, 1, 1))
    for fish, sex in ((world.dam, "F"), (world.sire, "M")):
        hand.put(kept.FishDetails(fish=fish, sex=sex, stock=world.stock, species=world.species))
    return world


@pytest.fixture
def ripe_stage(hand):
    hand.put(kept.MaturityStage(scale="female", key="IV", order=4, meaning="ripe", ripe=True, source="invented"))
    hand.put(kept.MaturityStage(scale="female", key="VI", order=6, meaning="spent", ripe=False, source="invented"))


def planned(world, hand, season=TODAY.year):
    plan = hand.put(kept.CrossPlan(number=f"LI-{season}", stock=world.stock, season=season))
    return hand.put(kept.PlannedCross(plan=plan, dam=world.dam, sire=world.sire, kinship=Decimal("0.0625")))


def signed(world, hand, plan):
    hand.put(kept.PlanSignature(plan=plan, user=world.user, signed_on=TODAY, statement="as drafted"))


def test_a_cross_of_a_signed_plan_is_due_until_it_is_made(living, hand):
    pair = planned(living, hand)
    assert dues("staff", "Planned crosses to make") == []

    signed(living, hand, pair.plan)
    assert dues("staff", "Planned crosses to make") == [("♀ F1 × ♂ M1", "plan LI-2031")]

    night = hand.put(kept.Spawning(number="S9", spawned_on=TODAY))
    cross = hand.put(kept.Cross(spawning=night, family=living.family, dam=living.dam))
    hand.put(kept.CrossSire(cross=cross, sire=living.sire, share=Decimal("0.5")))
    assert dues("staff", "Planned crosses to make") == []


def test_a_cross_of_a_past_season_is_not_due(living, hand):
    signed(living, hand, planned(living, hand, season=2030).plan)

    assert dues("staff", "Planned crosses to make") == []


def test_a_cross_with_a_dead_parent_is_not_due(living, hand):
    signed(living, hand, planned(living, hand).plan)
    hand.change(kept.FishDetails.objects.get(fish=living.dam), left="died")

    assert dues("staff", "Planned crosses to make") == []


def test_only_the_last_check_says_that_a_fish_is_ripe(living, hand, ripe_stage):
    hand.put(kept.Check(fish=living.dam, checked_on=TODAY - timedelta(days=9), stage="IV"))
    assert dues("staff", "Ripe at the last check") == [("Fish F1", "stage IV, 24 April 2031")]

    hand.put(kept.Check(fish=living.dam, checked_on=TODAY - timedelta(days=2), stage="VI"))
    assert dues("staff", "Ripe at the last check") == []


@pytest.mark.parametrize(("days", "due"), [(60, 1), (61, 0)])
def test_how_long_a_ripe_stage_counts_is_the_policy_of_that_day(living, hand, ripe_stage, days, due):
    figure(hand, "ripe_check_days", 60, TODAY)
    figure(hand, "ripe_check_days", 7, TODAY + timedelta(days=1))
    hand.put(kept.Check(fish=living.dam, checked_on=TODAY - timedelta(days=days), stage="IV"))

    assert len(dues("staff", "Ripe at the last check")) == due


def test_a_batch_is_due_for_a_count_by_the_policy_of_that_day(living, hand):
    figure(hand, "census_due_days", 10, TODAY - timedelta(days=5))
    day = TODAY - timedelta(days=11)
    ends = {"from_account": living.losses, "to_account": living.account}
    hand.put(kept.Transfer(event="open", moved_on=day, count=100, **ends))

    assert dues("staff", "Batches to count") == [("Batch B1", "100 fish by the book, no count for 11 days")]
    assert dues("staff", "Batches to count", TODAY - timedelta(days=6)) == []


def test_a_weighing_without_a_stage_does_not_hide_that_a_fish_is_ripe(living, hand, ripe_stage):
    hand.put(kept.Check(fish=living.dam, checked_on=TODAY - timedelta(days=9), stage="IV"))
    hand.put(kept.Check(fish=living.dam, checked_on=TODAY, mass_g=Decimal(900)))

    assert len(dues("staff", "Ripe at the last check")) == 1


def test_a_female_stripped_since_her_check_is_no_longer_ripe(living, hand, ripe_stage):
    hand.put(kept.Check(fish=living.dam, checked_on=TODAY - timedelta(days=9), stage="IV"))
    night = hand.put(kept.Spawning(number="S2", spawned_on=TODAY - timedelta(days=1)))
    hand.put(kept.Cross(spawning=night, family=living.family, dam=living.dam))

    assert dues("staff", "Ripe at the last check") == []


@pytest.mark.parametrize(("days", "due"), [(30, False), (31, True)])
def test_a_batch_is_due_for_a_count_after_thirty_days(living, hand, days, due):
    day = TODAY - timedelta(days=days)
    hand.put(
        kept.Transfer(event="open", moved_on=day, from_account=living.losses, to_account=living.account, count=100)
    )

    found = dues("staff", "Batches to count")

    assert found == ([("Batch B1", "100 fish by the book, no count for 31 days")] if due else [])


def test_a_batch_never_counted_is_due_and_an_empty_one_is_not(living, hand):
    assert dues("manager", "Batches to count") == [("Batch B1", "100 fish by the book, never counted")]

    hand.change(living.account, balance=0)
    assert dues("manager", "Batches to count") == []


def test_a_fish_that_lost_its_tag_is_due_for_another(living, hand):
    hand.put(kept.Tag(fish=living.dam, system="iso", code="900215000123456", attached_on=TODAY))
    lost = {"ended_on": TODAY, "end_reason": "lost"}
    hand.put(kept.Tag(fish=living.sire, system="iso", code="900215000123457", attached_on=TODAY, **lost))

    assert [text for text, _ in dues("staff", "Fish without a tag")] == ["Fish M1"]


def test_a_draft_with_crosses_waits_for_the_geneticist(living, hand):
    pair = planned(living, hand)
    assert dues("geneticist", "Plans to sign") == [("Plan LI-2031", "draft, Lower Isendre, season 2031")]

    signed(living, hand, pair.plan)
    assert dues("geneticist", "Plans to sign") == []


def test_ripe_fish_without_a_plan_are_named_by_stock(living, hand, ripe_stage):
    hand.put(kept.Check(fish=living.dam, checked_on=TODAY, stage="IV"))
    assert dues("geneticist", "Ripe fish and no plan") == [("Lower Isendre", "no plan for 2031 or later")]

    planned(living, hand)
    assert dues("geneticist", "Ripe fish and no plan") == []


def test_autumn_checks_are_served_by_the_plan_of_the_coming_spring(living, hand, ripe_stage):
    hand.put(kept.Check(fish=living.dam, checked_on=TODAY, stage="IV"))
    signed(living, hand, planned(living, hand, season=2032).plan)

    assert dues("geneticist", "Ripe fish and no plan") == []
    assert len(dues("staff", "Planned crosses to make")) == 1


def test_what_a_role_comes_for_stands_first(client_of, living):
    leads = {role: client_of(role).get("/").context["actions"][0]["label"] for role in ("staff", "manager", "auditor")}

    assert leads == {"staff": "Measure a fish", "manager": "Enter a release", "auditor": "Trace a fish"}


def test_a_family_without_parents_is_named(living, hand):
    assert dues("geneticist", "Families without known parents")[0][0] == "Family FAM1"

    hand.put(kept.FamilyParents(family=living.family, parentage=living.parentage))
    assert dues("geneticist", "Families without known parents") == []


def test_a_release_without_permit_or_position_goes_back_to_the_manager(living, hand):
    hand.put(kept.ReleaseDetails(release=living.release, place="weir"))

    assert dues("manager", "Releases to complete") == [("Release R1", "no permit number, no position")]


def test_a_correction_is_shown_with_its_reason(living):
    first = kept.JournalEntry.objects.get(seq=1)
    with write.entry(
        SETUP, "tag corrected", permission=CORRECT, subject="tag 900", reason="misread", corrects=first
    ) as made:
        seq = made.seq

    found = dues("auditor", "Recent corrections", timezone.localdate())

    assert [text for text, _ in found] == [f"Entry {seq}: tag corrected, tag 900"]
    assert found[0][1].endswith(": misread")


def test_a_long_list_says_that_it_goes_on(living, hand):
    for n in range(9):
        hand.put(kept.FishDetails(fish=hand.put(kept.Fish(number=f"X{n}"))))

    found = {section.title: section for section in sections({"staff"}, TODAY)}["Fish without a tag"]

    assert len(found.dues) == 8
    assert found.more


def test_someone_with_two_roles_reads_each_list_once(living):
    titles = [section.title for section in sections({"staff", "manager"}, TODAY)]

    assert len(titles) == len(set(titles)) == 14


def test_the_page_says_what_is_due_and_what_is_done(client_of, living):
    text = client_of("staff").get("/").content.decode()

    assert "Fish without a tag" in text
    assert "Fish F1" in text
    assert "Every cross of the signed plans is made." in text


def test_an_empty_register_says_what_to_do_first(client_of):
    text = client_of("staff").get("/").content.decode()

    assert "The register is empty." in text


def test_an_account_without_a_role_is_told_whom_to_ask(client_of, living):
    client = client_of("viewer")
    grant = kept.RoleGrant.objects.get(user__username="viewer")
    with write.entry(SETUP, "role ended", permission="keep accounts, catalogue and places", subject="viewer") as made:
        made.withdraw(grant)

    assert "ask the administrator to give your account a role" in client.get("/").content.decode()


def test_the_auditor_sees_the_head_of_the_journal_and_how_to_verify_it(client_of, living):
    text = client_of("auditor").get("/").content.decode()

    head = journal_head()
    assert f"verify_journal --anchor {head.seq}:{head.hash}" in text
    assert isinstance(head.entered_at, datetime)


def test_staff_do_not_see_the_journal(client_of, living):
    assert not may(Actor(1, "staff", frozenset({"staff"}), "form"), READ_JOURNAL)
    assert "verify_journal" not in client_of("staff").get("/").content.decode()


@pytest.mark.parametrize(("role", "queries"), [("staff", 13), ("geneticist", 12), ("manager", 17), ("auditor", 8)])
def test_the_home_page_asks_a_fixed_number_of_times(client_of, living, hand, role, queries, django_assert_num_queries):
    client = client_of(role)
    for n in range(12):
        hand.put(kept.FishDetails(fish=hand.put(kept.Fish(number=f"X{n}"))))
        hand.put(kept.Family(number=f"Y{n}"))

    # Session, account, roles, any fish, one for each list and each figure, the journal's head.
    with django_assert_num_queries(queries):
        client.get("/")


def test_the_newest_determination_that_says_otherwise_than_the_record_is_to_be_decided(living, hand):
    other = hand.put(species("baerii", ploidy=4))
    seen = {"fish": living.dam, "confidence": "field"}
    hand.put(kept.Determination(determined_on=TODAY - timedelta(days=9), species=other, **seen))
    assert dues("manager", "Determinations to decide") == [("Fish F1", "baerii, 24 April 2031")]

    hand.put(kept.Determination(determined_on=TODAY, species=living.species, **seen))
    assert dues("manager", "Determinations to decide") == []

    hand.put(kept.Determination(determined_on=TODAY, hybrid=True, **seen))
    assert dues("manager", "Determinations to decide") == [("Fish F1", "species left open, a hybrid, 3 May 2031")]


def test_a_living_fish_of_doubtful_species_asks_for_a_genetic_test(living, hand):
    assert dues("geneticist", "Fish of doubtful species") == []
    hand.put(kept.FishDetails(fish=living.other, species=living.species, confidence="doubtful"))
    assert dues("geneticist", "Fish of doubtful species") == [("Fish M2", "sterlet, asks for a genetic test")]
