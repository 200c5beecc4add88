"""Who may be crossed this season: the ready fish of a stock, those of mature age, and why the others are left out."""

from collections.abc import Iterable
from dataclasses import dataclass
from datetime import date, timedelta

from django.db.models import BooleanField, Case, Exists, F, OuterRef, Q, QuerySet, Subquery, Sum, Value, When
from django.db.models.functions import Coalesce

from registry.models import Check, Cross, FishDetails, MaturityStage, MiltLot, MiltUse, Stay, Stock, Tag
from registry.queries.catalogue.profiles import maturity_years
from registry.queries.intake.holds import held_on, learn_holds
from registry.queries.intake.ploidy import learn_ploidy
from registry.queries.known import fish_as_known, policy_days
from registry.rules.crossing.crosses import objections_to_candidate
from registry.rules.days import spoken
from registry.rules.known import KnownFish

FEMALE, MALE = "F", "M"


@dataclass(frozen=True, slots=True)
class Candidate:
    """A fish that may be crossed, or why it may not; `left` is set for a male that only his frozen milt stands for."""

    key: int
    number: str
    sex: str
    code: str = ""
    unit: str = ""
    stage: str = ""
    checked_on: date | None = None
    left: str = ""
    doses: int = 0
    reasons: tuple[str, ...] = ()

    @property
    def why_not(self) -> str:
        """Return the reasons in one line, to stand behind the fish's number."""
        return " ".join(one.removeprefix(f"{self.number}:").removeprefix(self.number).strip() for one in self.reasons)


@dataclass(frozen=True, slots=True)
class Season:
    """For which stock and day candidates are asked, with the policy and the stages that count as ripe."""

    stock: Stock
    today: date
    ripe_days: int
    ripe: frozenset[str]

    @property
    def since(self) -> date:
        """Return the day from which on a check still counts."""
        return self.today - timedelta(days=self.ripe_days)


def season_of(stock: Stock, today: date) -> Season:
    """Return what candidates of a stock are judged by on a day."""
    stages = MaturityStage.objects.current().filter(ripe=True).values_list("key", flat=True)
    return Season(stock, today, policy_days("ripe_check_days", today), frozenset(stages))


def looked_at(season: Season, *, any_stock: bool, ripe_only: bool, also: Iterable[int]) -> QuerySet:
    """Return the details of the fish that a plan is made among, whatever its other limits are.

    Females and males that are here, or of which frozen milt is left, found ripe or, unless `ripe_only`, of an age at
    which they mature; of the stock, or of `any_stock` of its species; and those given by key, come what may.
    """
    of_stock = Q(stock__species=season.stock.species_id) if any_stock else Q(stock=season.stock)
    possible = Q(sex__in=[FEMALE, MALE]) & (Q(left="") | Q(doses__gt=0))
    possible &= _ripe(season) if ripe_only else _ripe(season) | _of_age(season)
    rows = _annotated(FishDetails.objects.current().filter(of_stock | Q(fish__in=list(also))))
    return rows.filter(possible | Q(fish__in=list(also))).order_by("fish__number")


def left_out(season: Season) -> QuerySet:
    """Return the details of fish of mature age that are not ready, for paging; `why_not` says why."""
    return _rows(season).filter(_of_age(season), is_ready=False)


def why_not(rows: Iterable[FishDetails], season: Season) -> list[Candidate]:
    """Return rows of `left_out`, a page of them, as candidates with the reasons against each."""
    listed = list(rows)
    facts = [fish_as_known(row) for row in listed]
    learn_holds(facts)
    learn_ploidy(facts)
    return [_candidate(row, fish, season) for row, fish in zip(listed, facts, strict=True)]


def _rows(season: Season) -> QuerySet:
    rows = _annotated(FishDetails.objects.current().filter(stock=season.stock))
    now = When(_sound(season) & _ripe(season), then=Value(True))
    rows = rows.annotate(is_ready=Case(now, default=False, output_field=BooleanField()))
    living = Q(left="") | (Q(sex=MALE) & Exists(_frozen()))
    return rows.filter(living).order_by("fish__number")


def _annotated(rows: QuerySet) -> QuerySet:
    of_fish = {"fish": OuterRef("fish")}
    checks = Check.objects.current().filter(**of_fish).exclude(stage="").order_by("-checked_on", "-pk")
    tags = Tag.objects.current().filter(**of_fish, ended_on__isnull=True).order_by("attached_on", "pk")
    stays = Stay.objects.current().filter(**of_fish, until__isnull=True)
    stripped = Cross.objects.current().filter(dam=OuterRef("fish")).order_by("-spawning__spawned_on")
    rows = rows.annotate(
        last_stage=Subquery(checks.values("stage")[:1]),
        last_check=Subquery(checks.values("checked_on")[:1]),
        code=Subquery(tags.values("code")[:1]),
        unit_name=Subquery(stays.values("unit__name")[:1]),
        stripped_on=Subquery(stripped.values("spawning__spawned_on")[:1]),
        doses=Coalesce(_laid_in(), 0) - Coalesce(_taken_out(), 0),
    )
    return rows.select_related("fish", "species", "stock", "family")


def _frozen() -> QuerySet:
    return MiltLot.objects.current().filter(male=OuterRef("fish"), state=MiltLot.State.FROZEN).order_by()


def _laid_in() -> Subquery:
    return Subquery(_frozen().values("male").annotate(n=Sum("doses")).values("n"))


def _taken_out() -> Subquery:
    uses = MiltUse.objects.current().filter(lot__male=OuterRef("fish"), lot__state=MiltLot.State.FROZEN)
    uses = uses.filter(lot__withdrawn__isnull=True).order_by()
    return Subquery(uses.values("lot__male").annotate(n=Sum("doses")).values("n"))


def _sound(season: Season) -> Q:
    """Sexed, of a sure species and not held back; a male that left counts while doses of his frozen milt are there."""
    sexed = Q(sex__in=[FEMALE, MALE], hybrid=False, species__isnull=False) & ~Q(confidence="doubtful")
    return sexed & (Q(left="") | Q(doses__gt=0)) & ~held_on(season.today)


def _ripe(season: Season) -> Q:
    checked = Q(last_stage__in=season.ripe, last_check__gte=season.since)
    not_spent = Q(stripped_on__isnull=True) | Q(stripped_on__lt=F("last_check"))
    return (checked & not_spent) | Q(sex=MALE, doses__gt=0)


def _of_age(season: Season) -> Q:
    """Of an age at which its sex matures, of unknown age, or found ripe."""
    ages = maturity_years(season.stock.species)
    youngest = min(ages.values())
    found = Q(hatched_on__isnull=True) | Q(last_stage__in=season.ripe)
    for sex, years in (*ages.items(), ("U", youngest), ("I", youngest)):
        found |= Q(sex=sex, hatched_on__lt=date(season.today.year - years + 1, 1, 1))
    return found


def _candidate(row: FishDetails, fish: KnownFish, season: Season) -> Candidate:
    role = "sire" if row.sex == MALE else "dam"
    against = objections_to_candidate(fish, role, season.stock.name, season.today)
    reasons = [objection.message for objection in against] + against_presence(row)
    if not by_milt_alone(row):
        reasons += against_ripeness(row, season)
    return as_candidate(row, reasons)


def as_candidate(row: FishDetails, reasons: Iterable[str] = ()) -> Candidate:
    """Return a row of fish as a candidate."""
    return Candidate(
        key=row.fish_id,
        number=row.fish.number,
        sex=row.sex,
        code=row.code or "",
        unit=row.unit_name or "",
        stage=row.last_stage or "",
        checked_on=row.last_check,
        left=row.left,
        doses=row.doses,
        reasons=tuple(reasons),
    )


def by_milt_alone(row: FishDetails) -> bool:
    """Return whether frozen milt stands for the fish, so that it need be neither here nor ripe."""
    return bool(row.sex == MALE and row.doses > 0)


def against_presence(row: FishDetails) -> list[str]:
    """Return that the fish has left, unless frozen milt stands for it."""
    if not row.left or row.doses > 0:
        return []
    return [f"{row.fish.number} {row.get_left_display().lower()}, and no dose of its frozen milt is left."]


def against_ripeness(row: FishDetails, season: Season) -> list[str]:
    """Return why the fish does not count as ripe."""
    number, found, day = row.fish.number, row.last_stage, row.last_check
    if row.left:
        return []
    if not found:
        return [f"{number}: no maturity stage on record. Check it first."]
    if found not in season.ripe:
        return [f"{number}: stage {found} on {spoken(day)}, not ripe."]
    if day < season.since:
        return [f"{number}: found ripe on {spoken(day)}, over {season.ripe_days} days ago. Check it again."]
    if row.stripped_on and row.stripped_on >= day:
        return [f"{number}: stripped on {spoken(row.stripped_on)}, after the last check."]
    return []
