"""Which species belong to the river, and the doubtful fish looked at again by their characters."""

from decimal import Decimal

from registry.demo.hatchery import Hatchery
from registry.models import FishDetails
from registry.operations.identity.determination import TakenOver, determine, take_over
from registry.operations.identity.species import set_standing
from registry.rules.identity.determination import Determined, Look
from registry.rules.identity.facts import StandingSet

CAUGHT = "X04-"  # the doubtful ones of 2004
STANDINGS = {"ruthenus": "native", "oxyrinchus": "native", "baerii": "introduced", "gueldenstaedtii": "absent"}
# A farmed Siberian sturgeon, one like it, and one that may be a hybrid with the sterlet.
SEEN: tuple[tuple[dict[str, str], dict[str, tuple[int, ...]]], ...] = (
    (
        {"mouth": "small", "lower_lip": "cut", "barbel_form": "smooth", "nostrils": "one", "fin_seams": "none",
         "scute_colour": "body", "skin": "grains"},
        {"dorsal_scutes": (14,), "lateral_scutes": (44, 45), "ventral_scutes": (10, 11)},
    ),
    (
        {"mouth": "small", "lower_lip": "cut", "barbel_form": "smooth", "fin_seams": "none", "scute_colour": "body"},
        {"dorsal_scutes": (15,), "lateral_scutes": (47, 47)},
    ),
    (
        {"lower_lip": "cut", "barbel_form": "partly_fringed", "fin_seams": "white", "scute_colour": "body"},
        {"dorsal_scutes": (14,), "lateral_scutes": (54, 52)},
    ),
)  # fmt: skip


def say_what_is_native(hatchery: Hatchery) -> None:
    """Say which species belong to the Isendre."""
    for species, standing in STANDINGS.items():
        set_standing(
            hatchery.people["manager"],
            StandingSet(
                species=species, river="Isendre", standing=standing, source="Old catch books of the weir (invented).",
                reason="So that strangers are noticed at intake.",
            ),
        )  # fmt: skip


def look_at_the_doubtful(hatchery: Hatchery) -> None:
    """Determine the doubtful fish; of the first a laboratory's report came back and is taken over."""
    rows = FishDetails.objects.current().filter(confidence="doubtful", fish__number__startswith=CAUGHT)
    fish = list(rows.select_related("fish").order_by("fish__number"))
    for row, (looks, counts) in zip(fish, SEEN, strict=False):
        hybrid = looks["barbel_form"] == "partly_fringed"
        determine(
            hatchery.people["staff"],
            Determined(
                fish=row.fish.number,
                determined_on=row.caught_on,
                looks=(*(Look(key, look=look) for key, look in looks.items()), *_counted(counts)),
                river="Isendre",
                species="" if hybrid else "baerii",
                hybrid=hybrid,
                confidence="field",
                evidence="photographs of the day",
            ),
        )
    if fish:
        report = Determined(
            fish=fish[0].fish.number,
            determined_on=fish[0].caught_on.replace(month=9),
            species="baerii",
            confidence="genetic",
            evidence="laboratory report G-04-17 (invented)",
        )
        known = determine(hatchery.people["staff"], report)
        reason = "Nuclear markers and mitochondrial DNA agree, report G-04-17."
        take_over(hatchery.people["manager"], TakenOver(pk=known.pk, reason=reason))


def _counted(counts: dict[str, tuple[int, ...]]) -> list[Look]:
    found = []
    for key, values in counts.items():
        sides = ("left", "right") if len(values) > 1 else ("",)
        found += [Look(key, value=Decimal(n), side=side) for n, side in zip(values, sides, strict=True)]
    return found
