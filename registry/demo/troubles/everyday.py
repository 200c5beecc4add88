"""The troubles of real life: lost and double tags, a mixed batch, corrections, an unmarked fish, unsuspected kin."""

from datetime import date, timedelta

from registry.demo.broodfish import living
from registry.demo.hatchery import Brood, Hatchery, enter
from registry.demo.seasons import Young
from registry.models import FishDetails, Transfer
from registry.operations.corrections import Correction, correct
from registry.operations.fish import ADMISSION
from registry.operations.parentage import ParentageFound, determine_parentage
from registry.operations.registration import REGISTRATION
from registry.operations.tags import ATTACHMENT, TAG_END
from registry.operations.young.batches import MERGE, SPLIT
from registry.operations.young.releases import RECAPTURE
from registry.permissions import ENTER
from registry.rules.days import Day
from registry.rules.fish import Admission
from registry.rules.known import Pair
from registry.rules.tagging import TagAttachment, TagEnd
from registry.rules.young.batches import Merge, Registration, Split
from registry.rules.young.releases import RecaptureMade


def lose_and_double_tags(hatchery: Hatchery, year: int) -> None:
    """One fish loses its tag, one is retagged, one bears two tags."""
    lost, replaced, doubled = living(hatchery, "Upper Isendre")[:3]
    day = date(year, 10, 12)
    with hatchery.desk("staff", ENTER) as desk:
        enter(desk, TAG_END, TagEnd(code=lost.code, ended_on=day, end_reason="lost", evidence="no reading, twice"))
        enter(desk, TAG_END, TagEnd(code=replaced.code, ended_on=day, end_reason="dead", evidence="no reading"))
        for fish, evidence in ((replaced, "photograph of scute pattern"), (doubled, "second tag")):
            code = hatchery.code(year)
            enter(
                desk,
                ATTACHMENT,
                TagAttachment(fish=fish.number, code=code, attached_on=day, site="left operculum", evidence=evidence),
            )


def mix_batches(hatchery: Hatchery, young: list[Young], year: int) -> None:
    """Split one batch, merge part of it into another, and tag fish out of the mixture."""
    one, other = young[:2]
    with hatchery.desk("staff", ENTER) as desk:
        part = hatchery.next(f"B{year % 100:02}")
        day = date(year, 9, 12)
        held = desk.known.find_batch(one.batch).balance()
        enter(desk, SPLIT, Split(batch=one.batch, new_number=part, moved_on=day, count=held // 3, unit="Trough 2"))
        enter(
            desk,
            MERGE,
            Merge(batch=part, into=other.batch, moved_on=day + timedelta(days=3), count=held // 3, unit="Trough 2"),
        )
        tagged = date(year, 12, 1)
        fish = tuple(
            Admission(number=hatchery.next(f"UI{year % 100:02}"), tag=hatchery.code(year), unit="Pond A")
            for _ in range(12)
        )
        enter(desk, REGISTRATION, Registration(batch=other.batch, moved_on=tagged, fish=fish))


def correct_mistakes(hatchery: Hatchery) -> None:
    """A loss was counted twice over, and a sex was taken for the other."""
    loss = Transfer.objects.current().filter(event="loss").order_by("-moved_on", "pk")[0]
    changes = {"count": loss.count - loss.count // 10}
    correct(
        hatchery.people["manager"],
        Correction(record=loss, changes=changes, reason="The siphoned larvae of one jar were counted twice."),
    )
    young = FishDetails.objects.current().filter(sex="U", left="", origin="hatchery").order_by("pk")[0]
    correct(
        hatchery.people["manager"],
        Correction(record=young, changes={"sex": "F"}, reason="Ultrasound in autumn, seen by two people."),
    )


def unsuspected_kin(hatchery: Hatchery, year: int) -> Brood:
    """Admit a fish taken for wild; genotyping later shows it to be young of two fish of the hatchery."""
    caught = date(year, 6, 9)
    number, code = hatchery.next(f"UI{year % 100:02}"), hatchery.code(year)
    with hatchery.desk("staff", ENTER) as desk:
        enter(
            desk,
            ADMISSION,
            Admission(
                number=number,
                species="ruthenus",
                stock="Upper Isendre",
                sex="M",
                origin="wild",
                caught=Day(caught),
                caught_at="Alder Ford",
                tag=code,
                tagged_on=caught,
                unit="Tank 2",
                tissue_sample=f"T-{number}",
                notes="No mark found. Taken for wild.",
            ),
        )
    born = date(year - 4, 5, 1)
    hatchery.brood[number] = Brood(number, "Upper Isendre", "M", born, 0, code=code)
    return hatchery.brood[number]


def spawn_unseen(hatchery: Hatchery, year: int) -> None:
    """Young turn up in a pond: only one female of it had spent her eggs, and any of its males may be the sire."""
    dam = next(fish for fish in living(hatchery, "Lower Isendre") if fish.sex == "F" and year - fish.born.year >= 5)
    with hatchery.desk("staff", ENTER) as desk:
        for _ in range(3):
            found = Admission(
                number=hatchery.next(f"LI{year % 100:02}"),
                species="ruthenus",
                stock="Lower Isendre",
                origin="hatchery",
                hatched=Day(date(year, 5, 1), "month"),
                pairs=(Pair(dam.number, None),),
                tag=hatchery.code(year),
                tagged_on=date(year, 10, 2),
                unit="Pond B",
                notes="Found in the pond at the autumn draw-down; the males were not kept apart.",
            )
            enter(desk, ADMISSION, found)


def prove_kin(hatchery: Hatchery, fish: Brood, year: int) -> None:
    """Genotypes come back: the fish taken for wild is young of an early cross, or of one male of two."""
    details = FishDetails.objects.current().filter(family__isnull=False, stock__name=fish.stock).order_by("pk")[0]
    pair = hatchery.known.find_fish(details.fish.number).pairs[0]
    determine_parentage(
        hatchery.people["manager"],
        ParentageFound(
            fish=fish.number,
            pairs=(Pair(pair.dam, pair.sire),),
            basis="genotype",
            reason=f"Genotypes of {year}: no mismatch with this pair, excluded from all others.",
        ),
    )
    fish.parents = frozenset({pair.dam, pair.sire})


def meet_again(hatchery: Hatchery) -> None:
    """A released fish is caught again and known by its tag; another one bears no mark."""
    released = FishDetails.objects.current().filter(stock__name="Upper Isendre", left="released")
    fish = released.select_related("fish").order_by("-left_on", "pk")[0]
    met = {"recaptured_on": fish.left_on + timedelta(days=70), "place": "Stony Reach"}
    unmarked = "no PIT, no coded wire, no elastomer, no clip; fin clip taken"
    with hatchery.desk("staff", ENTER) as desk:
        code = desk.known.tags_on(fish.fish.number)[0].code
        enter(desk, RECAPTURE, RecaptureMade(code=code, marks="PIT read twice", reported_by="net fisher", **met))
        enter(desk, RECAPTURE, RecaptureMade(marks=unmarked, reported_by="survey crew", **met))
