"""The whole demo, season by season, through the operations."""

from collections.abc import Callable, Iterator
from datetime import date, datetime
from decimal import Decimal
from typing import Any

from django.utils import timezone

from registry.demo.accounts import make_accounts
from registry.demo.arrivals import fill_quarantine, mark_quarantine
from registry.demo.broodfish import autumn_checks, spring_checks, winter_deaths
from registry.demo.founders import catch_doubtful, catch_founders
from registry.demo.hatchery import Hatchery, enter
from registry.demo.papers import enter_papers
from registry.demo.plans import close_season, plan_next_season
from registry.demo.seasons import Young, rear, release_most, spawn, tag_young
from registry.demo.species import look_at_the_doubtful, say_what_is_native
from registry.demo.spring_releases import release_in_spring
from registry.demo.troubles import everyday, mistaken
from registry.journal.upkeep import refresh_stale_statistics, refresh_statistics
from registry.models import Spawning
from registry.operations.catalogue import StockOpened, load_catalogue, open_stock, set_inheritance
from registry.operations.crossing.milt import COLLECTION, MiltCollected
from registry.operations.crossing.spawning import HormoneGiven, record_induction
from registry.operations.identity.characters import load_characters
from registry.operations.people import installer
from registry.operations.places import TemperatureRead, UnitOpened, log_temperature, open_unit
from registry.permissions import ENTER
from registry.rules.inheritance import InheritanceSet

FIRST_SEASON, LAST_SEASON = 1994, 2026
# Seasons with a batch for each family, `each` fish of every batch tagged: this many fish at the smallest.
SMALLEST = 1_600
Progress = Callable[[str], Any]


def build_demo(seed: int = 1, fish: int = SMALLEST, tell: Progress = print) -> Hatchery:
    """Build the demo register in an empty database; `fish` is about how many fish it has in the end."""
    hatchery = _open_hatchery(seed)
    each = max(9, fish // 170)
    last: dict[str, list[Young]] = {}
    stranger = None
    for year in _seasons(tell):
        catch_founders(hatchery, year)
        if year == 2004:
            catch_doubtful(hatchery, year)
        if year == 2012:
            stranger = everyday.unsuspected_kin(hatchery, year)
        for stock in hatchery.told["stocks"]:
            last[stock["name"]] = _season(hatchery, stock, year, last.get(stock["name"], []), each)
        if year == 2021:
            everyday.mix_batches(hatchery, last["Upper Isendre"], year)
        if year == 2019 and stranger:
            everyday.prove_kin(hatchery, stranger, year)
    everyday.lose_and_double_tags(hatchery, LAST_SEASON - 1)
    everyday.meet_again(hatchery)
    everyday.correct_mistakes(hatchery)
    say_what_is_native(hatchery)
    look_at_the_doubtful(hatchery)
    fill_quarantine(hatchery, last["Upper Isendre"][0].batch, LAST_SEASON)
    _note_night(hatchery)
    close_season(hatchery, LAST_SEASON)
    autumn_checks(hatchery, LAST_SEASON)
    enter_papers(hatchery, LAST_SEASON)
    everyday.spawn_unseen(hatchery, LAST_SEASON - 1)
    mistaken.mistake_fish(hatchery, LAST_SEASON)
    # Last of all: what a plan is proven of holds for the register as it stands.
    plan_next_season(hatchery, LAST_SEASON + 1)
    refresh_statistics()
    return hatchery


def _seasons(tell: Progress) -> Iterator[int]:
    for year in range(FIRST_SEASON, LAST_SEASON + 1):
        tell(f"season {year}")
        refresh_stale_statistics()
        yield year


def _open_hatchery(seed: int) -> Hatchery:
    by = installer("demo")
    load_catalogue(by)
    load_characters(by)
    people = make_accounts()
    told = Hatchery(people, timezone.localdate(), seed).told
    for stock in told["stocks"]:
        open_stock(by, StockOpened(name=stock["name"], species=stock["species"], river=stock["river"]))
        set_inheritance(by, InheritanceSet(stock=stock["name"], ploidy=2, reason=told["why_two_copies"]))
    for facility, waters in told["facilities"].items():
        for water, units in waters.items():
            for name, kind in units:
                open_unit(by, UnitOpened(name=name, kind=kind, facility=facility, water_system=water))
    mark_quarantine(by, told["quarantine"])
    return Hatchery(people, timezone.localdate(), seed)


def _season(hatchery: Hatchery, stock: dict[str, Any], year: int, last: list[Young], each: int) -> list[Young]:
    tagged = tag_young(hatchery, stock, last, year, each)
    release_in_spring(hatchery, stock, last, hatchery.waiting.get(stock["name"], []), year)
    hatchery.waiting[stock["name"]] = tagged
    if year % 2 == 0 or year >= LAST_SEASON - 2:
        spring_checks(hatchery, stock, year)
    young: list[Young] = []
    if year >= stock["first_season"]:
        young = spawn(hatchery, stock, year, pooled=year == 2018 and stock["prefix"] == "LI")
        rear(hatchery, young, year)
        release_most(hatchery, young, year)
    if year < LAST_SEASON:
        winter_deaths(hatchery, stock, year)
    if stock["prefix"] == "MA" and year in (2007, 2011, 2015):
        _freeze_milt(hatchery, stock, year)
    return young


def _freeze_milt(hatchery: Hatchery, stock: dict[str, Any], year: int) -> None:
    """Lay in milt of every living male of the stock."""
    males = [b for b in hatchery.brood.values() if b.stock == stock["name"] and b.sex == "M"]
    with hatchery.desk("staff", ENTER) as desk:
        for male in males:
            fish = hatchery.known.find_fish(male.number)
            if fish.left or year - male.born.year < stock["age_m"]:
                continue
            enter(
                desk,
                COLLECTION,
                MiltCollected(
                    number=hatchery.next(f"K{year % 100:02}"),
                    male=male.number,
                    collected_on=date(year, 5, 20),
                    state="frozen",
                    doses=hatchery.dice.randrange(8, 24),
                    motility_percent=Decimal(hatchery.dice.randrange(60, 90)),
                    position=f"dewar 1, canister {hatchery.dice.randrange(1, 7)}",
                ),
            )


def _note_night(hatchery: Hatchery) -> None:
    """Record the hormone of the last night, as prescribed, and some water temperatures."""
    spawning = Spawning.objects.order_by("-spawned_on")[0]
    dam = spawning.crosses.current().select_related("dam")[0].dam
    given = timezone.make_aware(datetime.combine(spawning.spawned_on, datetime.min.time().replace(hour=9)))
    record_induction(
        hatchery.people["staff"],
        HormoneGiven(
            spawning=spawning.number,
            fish=dam.number,
            given_at=given,
            agent="GnRH analogue, as prescribed",
            product_batch="as on the label",
            dose="as written on prescription 26-114",
            prescriber="veterinarian, licence on file",
        ),
    )
    for n in range(14):
        read_at = datetime(LAST_SEASON, 11, 1 + n, 8, tzinfo=timezone.get_current_timezone())
        water = Decimal(95 - 2 * n) / 10
        read = TemperatureRead(facility="Brackenholt Weir", water_system="River water", read_at=read_at, water_c=water)
        log_temperature(hatchery.people["staff"], read)
