"""Where a record comes from: every step with its probability, evidence and entry, up to the founders.

F1 ── M1            F2 ── M1 (0.5) or M2 (0.5)
  10-1                10-2
   B1 ◄─ all of B2 ───┘           B1 is 2/3 of 10-1 and 1/3 of 10-2
   ├─ X1 ♀, X2 ♂ tagged 10 January 2011
   └─ B3 (300) ─ 200 ─► R1
"""

from collections import defaultdict
from datetime import date, datetime, timedelta
from decimal import Decimal
from zoneinfo import ZoneInfo

import networkx as nx
import pytest
import time_machine
from django.db import connection
from django.test.utils import CaptureQueriesContext

from registry.models import ParentPair, Tag, Transfer
from registry.operations.corrections import Correction, correct
from registry.operations.fish import admit_fish
from registry.operations.parentage import ParentageFound, determine_parentage
from registry.operations.registration import register_individuals
from registry.operations.shared.entries import Admission, Pair, Registration, ReleaseMade, TagCode, TagEnd
from registry.operations.tags import record_tag_lost
from registry.operations.young.releases import release
from registry.queries.trace.lineage import Level, unfolded
from registry.queries.trace.up import lineage_of
from tests.support.mixed_batch import mixed_batch, second_generation
from tests.support.river import STOCK

pytestmark = pytest.mark.django_db
THIRD = Decimal(1) / 3
B1 = "batch B1 on 2011-01-10"


@pytest.fixture
def river(db):
    return mixed_batch()


def steps(lineage, source):
    """Return (origin, role, probability to six places) of the steps out of a record."""
    found = [step for step in lineage.steps if step.source == source]
    return {(step.origin, step.role, round(step.probability, 6)) for step in found}


def step(lineage, source, origin):
    (found,) = [step for step in lineage.steps if (step.source, step.origin) == (source, origin)]
    return found


def contributions(lineage):
    """By definition: each fish and family is half its dam and half its sire; what is many fish is its parts."""
    shares = defaultdict(Decimal, {lineage.start: Decimal(1)})
    graph = nx.DiGraph((one.source, one.origin) for one in lineage.steps)
    for source in nx.topological_sort(graph):
        for one in lineage.steps:
            if one.source == source:
                half = Decimal("0.5") if one.role in ("dam", "sire") else 1
                shares[one.origin] += shares[source] * one.probability * half
    return {node.number: shares[node.key] for node in lineage.founders}


def test_a_fish_tagged_out_of_a_mixed_batch_comes_from_each_family_by_its_share(river):
    lineage = lineage_of("fish", "X1")

    assert steps(lineage, "fish X1") == {(B1, "batch", 1)}
    assert steps(lineage, B1) == {
        ("family 10-1", "family", Decimal("0.666667")),
        ("family 10-2", "family", Decimal("0.333333")),
    }
    assert steps(lineage, "family 10-2") == {
        ("fish F2", "dam", 1),
        ("fish M1", "sire", Decimal("0.5")),
        ("fish M2", "sire", Decimal("0.5")),
    }
    assert [node.number for node in lineage.founders] == ["F1", "F2", "M1", "M2"]


def test_the_steps_come_to_the_parentage_that_the_fish_inherited(river):
    """The operation that registered X1 wrote its parents down by another way; both must say the same."""
    written = defaultdict(Decimal)
    for pair in ParentPair.objects.filter(parentage__fish__fish__number="X1").select_related("sire"):
        written[pair.sire.number] += pair.probability
    found = {node: float(share * 2) for node, share in contributions(lineage_of("fish", "X1")).items()}

    assert found == pytest.approx({"F1": 2 / 3, "F2": 1 / 3, "M1": 5 / 6, "M2": 1 / 6})
    assert {name: float(share) for name, share in written.items()} == pytest.approx({"M1": 5 / 6, "M2": 1 / 6})


def test_founders_shares_sum_to_one_and_no_record_comes_from_itself(river):
    second_generation(river)
    for kind, number in (("fish", "X1"), ("family", "18-1"), ("batch", "B4"), ("release", "R1"), ("release", "R2")):
        lineage = lineage_of(kind, number)
        assert nx.is_directed_acyclic_graph(nx.DiGraph((one.source, one.origin) for one in lineage.steps))
        assert float(sum(contributions(lineage).values())) == pytest.approx(1)


def test_the_batch_is_told_as_it_was_on_the_day_of_tagging(river):
    """B2 came into B1 on 1 August 2010; a lineage on the day before knows nothing of it."""
    assert "500 from batch B2, 1 August 2010" in lineage_of("fish", "X1").nodes[B1].about


def test_every_step_says_on_what_evidence_and_by_whom_it_was_entered(river):
    lineage = lineage_of("fish", "X1")

    tagged = step(lineage, "fish X1", B1)
    assert (tagged.level, tagged.evidence) == (Level.SUPPORTED, "tagged out of mixed batch B1; tag unbroken since")
    assert (tagged.written.who, tagged.written.what) == ("hall", "fish registered from batch")
    made = step(lineage, "family 10-1", "fish F1")
    assert made.level == Level.PROVED
    assert made.evidence.startswith("one recorded cross, spawning ")
    assert step(lineage, "family 10-2", "fish M2").evidence.startswith("pooled milt or several possible parents")
    assert lineage.level == Level.SUPPORTED


def test_a_fish_of_a_single_family_batch_with_its_tag_unbroken_is_proved(river):
    fish = Admission(number="Y1", family="10-1", origin="hatchery", stock=STOCK, species="ruthenus",
                     tag=TagCode("iso", "756000000000201"), tagged_on=date(2011, 3, 1))  # fmt: skip
    admit_fish(river.by, fish)
    assert lineage_of("fish", "Y1").level == Level.PROVED

    record_tag_lost(river.by, TagEnd(code=fish.tag, ended_on=date(2012, 1, 1), end_reason="lost"))
    lineage = lineage_of("fish", "Y1")
    assert lineage.level == Level.ASSERTED
    assert step(lineage, "fish Y1", "family 10-1").evidence == "the record; its tags leave a time without any"


def test_without_any_tag_a_fish_is_only_asserted(river):
    admit_fish(river.by, Admission(number="Y2", family="10-1", origin="hatchery", stock=STOCK, species="ruthenus"))

    assert lineage_of("fish", "Y2").steps[0].evidence == "the record alone: no tag ties the animal to it"


def test_genotyping_replaces_the_batch_and_the_earlier_reading_stays_on_its_day(river):
    found = ParentageFound(fish="X1", pairs=(Pair("F1", "M1"),), basis="genotype", reason="12 loci, no mismatch")
    tomorrow = datetime.now(ZoneInfo("UTC")) + timedelta(days=1)
    with time_machine.travel(tomorrow):
        determine_parentage(river.by, found)
        now, before = lineage_of("fish", "X1"), lineage_of("fish", "X1", (tomorrow - timedelta(days=1)).date())

    assert steps(now, "fish X1") == {("fish F1", "dam", 1), ("fish M1", "sire", 1)}
    assert now.level == Level.GENOTYPE
    assert [one.reason for one in now.nodes["fish X1"].corrections] == ["12 loci, no mismatch"]
    assert steps(before, "fish X1") == {(B1, "batch", 1)}


def test_a_tag_that_was_lost_later_was_still_on_the_fish_as_known_before(river):
    fish = Tag.objects.get(fish__number="X1")
    tomorrow = datetime.now(ZoneInfo("UTC")) + timedelta(days=1)
    with time_machine.travel(tomorrow):
        lost = TagEnd(code=TagCode(fish.system, fish.code), ended_on=date(2012, 1, 1), end_reason="lost")
        record_tag_lost(river.by, lost)
        now, before = lineage_of("fish", "X1"), lineage_of("fish", "X1", (tomorrow - timedelta(days=1)).date())
    assert now.nodes["fish X1"].tags == [f"{fish.code} from {fish.attached_on.isoformat()} to 2012-01-01"]
    assert before.nodes["fish X1"].tags == [f"{fish.code} from {fish.attached_on.isoformat()}"]
    assert now.level == Level.ASSERTED != before.level


def test_a_corrected_count_changes_the_shares_and_not_those_known_before(river):
    opened = Transfer.objects.get(event="open", to_account__batch__number="B2")
    tomorrow = datetime.now(ZoneInfo("UTC")) + timedelta(days=1)
    with time_machine.travel(tomorrow):
        correct(river.by, Correction(record=opened, changes={"count": 600}, reason="a tray was left out"))
        today = tomorrow.date()
        now = lineage_of("batch", "B1", today)
        before = lineage_of("batch", "B1", today - timedelta(days=1))

    # 500 of B2's young went over; 100 more stay behind in B2, so B1's shares are the same either way.
    assert steps(now, now.start) == steps(before, before.start)
    assert (
        lineage_of("batch", "B2").nodes[lineage_of("batch", "B2").start].corrections[0].reason == "a tray was left out"
    )


def test_what_was_not_yet_entered_on_a_day_cannot_be_traced_on_it(river):
    with pytest.raises(LookupError, match="fish X1"):
        lineage_of("fish", "X1", date(2020, 1, 1))


def test_a_release_comes_from_its_batches_and_fish_by_their_number(river):
    release(river.by, ReleaseMade(number="R3", released_on=date(2012, 5, 1), place="weir", fish=("X1", "X2")))

    lineage = lineage_of("release", "R3")
    assert steps(lineage, "release R3") == {("fish X1", "fish", Decimal("0.5")), ("fish X2", "fish", Decimal("0.5"))}
    marked = lineage_of("release", "R1")
    assert steps(marked, "release R1") == {("batch B3 on 2011-06-01", "batch", 1)}
    assert "all bearing elastomer red left" in marked.steps[0].evidence


def test_many_registered_fish_of_a_release_are_told_by_family(river):
    fish = [
        Admission(number=f"Z{n}", family="10-1", origin="hatchery", stock=STOCK, species="ruthenus") for n in range(13)
    ]
    for one in fish:
        admit_fish(river.by, one)
    freed = tuple(one.number for one in fish)
    release(river.by, ReleaseMade(number="R4", released_on=date(2012, 5, 1), place="weir", fish=freed))

    assert steps(lineage_of("release", "R4"), "release R4") == {("family 10-1", "family", 1)}


def test_a_founder_ends_the_trace(river):
    lineage = lineage_of("fish", "F1")

    assert (lineage.steps, lineage.level, [node.number for node in lineage.founders]) == ([], None, ["F1"])


def test_a_record_met_again_is_unfolded_once(river):
    second_generation(river)
    lines = unfolded(lineage_of("family", "18-1"))

    batches = [line for line in lines if line.step.origin == B1]
    assert [line.again for line in batches] == [False, True]
    assert len(lines) == len(lineage_of("family", "18-1").steps)


def test_a_generation_costs_as_many_queries_for_one_fish_as_for_ten(river):
    def queries(count):
        fish = tuple(Admission(number=f"Q{count}-{n}") for n in range(count))
        register_individuals(river.by, Registration(batch="B1", moved_on=date(2011, 3, 1), fish=fish))
        freed = {"released_on": date(2012, 5, 1), "place": "weir", "fish": tuple(one.number for one in fish)}
        release(river.by, ReleaseMade(number=f"Q{count}", **freed))
        with CaptureQueriesContext(connection) as asked:
            lineage_of("release", f"Q{count}")
        return len(asked)

    assert queries(1) == queries(10) < 40
