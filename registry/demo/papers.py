"""Papers of the demo: a permit nearly used up by the last season's releases, one that ends soon, and documents."""

from collections.abc import Sequence
from datetime import date, timedelta

from django.db.models import F, Sum

from registry.demo.hatchery import Hatchery
from registry.demo.sheets_of_paper import page_of_lines
from registry.files.store import lay_aside
from registry.models import Document, MiltLot, ReleaseDetails, TissueSample, Transfer
from registry.operations.crossing.milt import MiltDiscarded, discard_milt
from registry.operations.intake.sendings import send_sample
from registry.operations.papers.documents import attach_also, attach_document, withdraw_document
from registry.operations.papers.permits import enter_permit
from registry.rules.intake.samples import SampleSending
from registry.rules.papers.acts import Allowance
from registry.rules.papers.documents import DocumentAlso, DocumentAttached, DocumentWithdrawn
from registry.rules.papers.paper import PermitGiven

STOCK = "release__transfers__from_account__batch__stock__name"
AUTHORITY = "Fisheries authority of the Isendre basin"


def enter_papers(hatchery: Hatchery, year: int) -> None:
    """Enter the permit of the season's largest release, and the one under which broodfish are caught and held."""
    manager = hatchery.people["manager"]
    rows = ReleaseDetails.objects.current().filter(release__released_on__year=year)
    counted = rows.annotate(fish=Sum("release__transfers__count"), stock=F(STOCK)).exclude(fish=None)
    most = counted.select_related("release").order_by("-fish", "release__number")[0]
    enter_permit(
        manager,
        PermitGiven(
            number=most.permit,
            issuer=AUTHORITY,
            valid_from=date(year, 1, 1),
            valid_until=date(year + 1, 12, 31),
            allowances=(
                Allowance("release", "", most.stock, -(-most.fish * 21 // 2000) * 100),
                Allowance("release", "oxyrinchus", "", 2000),
            ),
            places="\n".join(place["name"] for place in hatchery.told["release_places"]),
            purpose="N",
            source="C",
            notes="A report with numbers by family is due every January.",
        ),
    )
    enter_permit(
        manager,
        PermitGiven(
            number=f"BW/{year - 2}/3",
            issuer=AUTHORITY,
            valid_from=date(year - 2, 1, 1),
            valid_until=hatchery.today + timedelta(days=40),
            allowances=(
                Allowance("capture", "ruthenus", "", 12),
                Allowance("capture", "oxyrinchus", "", 4),
                Allowance("holding"),
                Allowance("transfer", "ruthenus", "", 200),
            ),
            places="Alder Ford\nBrackenholt Weir\nMaroway mouth",
            purpose="B",
            source="W",
            notes="The renewal is asked for in writing, with the list of broodfish held.",
        ),
    )
    _send_abroad(hatchery, year)
    _attach(hatchery, most, year)


def _send_abroad(hatchery: Hatchery, year: int) -> None:
    """Enter the permit for milt and samples that leave the country, and what went under it."""
    number, sent = f"EX/{year}/2", date(year, 11, 3)
    enter_permit(
        hatchery.people["manager"],
        PermitGiven(
            number=number,
            issuer=AUTHORITY,
            valid_from=date(year, 6, 1),
            valid_until=date(year + 2, 5, 31),
            allowances=(
                Allowance("trade", "oxyrinchus", "", 12, "milt"),
                Allowance("transfer", "", "", 20, "sample"),
            ),
            purpose="B",
            source="F",
            notes="A copy travels with each parcel.",
        ),
    )
    lots = MiltLot.objects.current().filter(state="frozen", doses__gte=8, collected_on__lte=sent)
    lot = lots.filter(male__details__species__key="oxyrinchus").order_by("number").first()
    staff, partner = hatchery.people["staff"], "Sister hatchery beyond the gulf"
    if lot:
        given = MiltDiscarded(
            lot=lot.number, used_on=sent, doses=6, purpose="given away", sent_to=partner, permit=number, abroad=True
        )
        discard_milt(staff, given)
    tubes = TissueSample.objects.current().filter(fish__quarantines__isnull=False, kind="fin clip", taken_on__lte=sent)
    tube = tubes.order_by("label").first()
    if tube:
        send_sample(
            staff, SampleSending(number=tube.label, sent_on=sent, sent_to="Laboratory for fish genetics", permit=number)
        )


def _attach(hatchery: Hatchery, made: ReleaseDetails, year: int) -> None:
    """Attach the papers of the permits and of the release; one was attached to the wrong record and is withdrawn."""
    held = f"BW/{year - 2}/3"
    for number, what in ((made.permit, "to release young sturgeons"), (held, "to catch and hold broodfish")):
        lines = (AUTHORITY, "", f"Permit {number}", what, "", "The conditions stand on the other side.")
        _paper(hatchery, ("permit", number), f"Permit {number}", lines, date(int(number.split("/")[1]), 1, 1))
    seen = made.release.released_on - timedelta(days=4)
    lines = (f"Release {made.release.number}, {made.place}", "", "Seen by the veterinarian; findings as in the book.")
    health = _paper(hatchery, ("release", made.release.number), "Health certificate", lines, seen)
    part = Transfer.objects.current().filter(release=made.release).order_by("pk")[0]
    batch = part.from_account.batch
    attach_also(hatchery.people["staff"], DocumentAlso(document=health.number, kind="batch", number=batch.number))
    lines = ("Delivery of feed, 400 kg", "", "This is no paper of a permit.")
    wrong = _paper(hatchery, ("permit", held), "Delivery note", lines, seen)
    why = "Attached to the permit by mistake; it belongs into the feed book."
    withdraw_document(hatchery.people["manager"], DocumentWithdrawn(document=wrong.number, reason=why))


def _paper(hatchery: Hatchery, on: tuple[str, str], title: str, lines: Sequence[str], dated: date) -> Document:
    content = page_of_lines(title, lines)
    laid = lay_aside([content], f"{title.replace('/', '-')}.pdf")
    entry = DocumentAttached(kind=on[0], number=on[1], title=title, dated=dated, sha256=laid.sha256, name=laid.name)
    return attach_document(hatchery.people["staff"], entry)
