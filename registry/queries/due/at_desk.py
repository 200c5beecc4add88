"""What is due at the desk: plans, families, releases, corrections."""

from datetime import date, datetime, time, timedelta

from django.db.models import Exists, OuterRef, Q
from django.utils import timezone

from registry.models import (
    Cross,
    CrossPlan,
    Family,
    FamilyParents,
    FishDetails,
    JournalEntry,
    OffPlanSeen,
    PlannedCross,
    ReleaseDetails,
    Stock,
)
from registry.queries.crosses.states import stated
from registry.queries.due import Due, Section, ripe, section
from registry.rules.crossing.plans import DRAFT, REVIEW
from registry.rules.days import spoken

RECENT_DAYS = 30


def plans_to_sign(_today: date) -> Section:
    """Plans under review, and drafts that hold crosses: the next step of each is somebody's."""
    rows = (
        stated(CrossPlan.objects.current())
        .filter(Exists(PlannedCross.objects.current().filter(plan=OuterRef("pk"))), state__in=[REVIEW, DRAFT])
        .select_related("stock")
        .order_by("-state", "-season", "number")
    )
    return section(
        "Plans to sign",
        "No plan waits for a signature.",
        rows,
        lambda plan: Due(f"Plan {plan}", "plan", plan.number, f"{plan.state}, {plan.stock}, season {plan.season}"),
        "plan_list",
    )


def stocks_without_plan(today: date) -> Section:
    """Stocks that have ripe fish and no plan for this season or a coming one: autumn checks serve the spring."""
    ready = FishDetails.objects.current().filter(fish__in=ripe(today).values("fish"), stock=OuterRef("pk"))
    plans = CrossPlan.objects.current().filter(stock=OuterRef("pk"), season__gte=today.year)
    rows = Stock.objects.current().filter(Exists(ready), ~Exists(plans)).order_by("name")
    return section(
        "Ripe fish and no plan",
        "Every stock with ripe fish has a plan for this season or the next.",
        rows,
        lambda stock: Due(f"{stock}", "plan_list", "", f"no plan for {today.year} or later"),
        "plan_list",
    )


def crosses_off_plan(_today: date) -> Section:
    """Crosses made outside the signed plan that nobody who answers for the plan has acknowledged."""
    seen = OffPlanSeen.objects.current().filter(cross=OuterRef("pk"))
    rows = (
        Cross.objects.current()
        .exclude(off_plan_reason="")
        .filter(~Exists(seen))
        .select_related("family", "dam", "spawning")
        .order_by("-spawning__spawned_on", "family__number")
    )
    return section(
        "Crosses made outside the plan",
        "Every cross made outside a plan was read and acknowledged.",
        rows,
        lambda cross: Due(f"Family {cross.family}", "off_plan_seen", cross.family.number, _why_off(cross)),
        "spawning_list",
    )


def families_without_parents(_today: date) -> Section:
    """Families whose parents nobody has entered: they count as founders in every computation."""
    rows = (
        Family.objects.current()
        .filter(~Exists(FamilyParents.objects.current().filter(family=OuterRef("pk"))))
        .order_by("number")
    )
    return section(
        "Families without known parents",
        "The parents of every family are entered.",
        rows,
        lambda family: Due(f"Family {family}", "family", family.number, "counts as founders in kinship"),
        "family_list",
    )


def recent_corrections(today: date) -> Section:
    """What was corrected lately, and why."""
    since = timezone.make_aware(datetime.combine(today - timedelta(days=RECENT_DAYS), time()))
    rows = JournalEntry.objects.filter(corrects__isnull=False, entered_at__gte=since).order_by("-seq")
    return section(
        "Recent corrections",
        f"Nothing was corrected in the last {RECENT_DAYS} days.",
        rows,
        lambda row: Due(f"Entry {row.seq}: {row.what}, {row.subject}", "journal_entry", str(row.seq), _by(row)),
        "journal",
    )


def releases_to_complete(_today: date) -> Section:
    """Releases that an inspector would send back."""
    rows = (
        ReleaseDetails.objects.current()
        .filter(Q(permit="") | Q(latitude__isnull=True) | Q(longitude__isnull=True))
        .select_related("release")
        .order_by("-release__released_on", "release__number")
    )
    return section(
        "Releases to complete",
        "Every release has its permit number and position.",
        rows,
        lambda row: Due(f"Release {row.release}", "release", row.release.number, _lacks(row)),
        "release_list",
    )


def _by(entry: JournalEntry) -> str:
    return f"{entry.who}, {spoken(timezone.localdate(entry.entered_at))}" + (
        f": {entry.reason}" if entry.reason else ""
    )


def _why_off(cross: Cross) -> str:
    return f"♀ {cross.dam}, {spoken(cross.spawning.spawned_on)}: {cross.off_plan_reason}"


def _lacks(details: ReleaseDetails) -> str:
    lacking = [] if details.permit else ["no permit number"]
    if details.latitude is None or details.longitude is None:
        lacking.append("no position")
    return ", ".join(lacking)
