"""What is due with permits: those that end soon or ended lately, those that more was done under than they allow."""

from datetime import date, timedelta

from registry.models import PermitDetails
from registry.queries.due import MOST, Due, Section
from registry.queries.known import policy_days
from registry.queries.papers.permits import current_details, known_permits, scientific_names
from registry.rules.days import spoken
from registry.rules.papers.acts import KnownPermit
from registry.rules.papers.permits import Names, in_words, whole


def permits_ending(today: date) -> Section:
    """Permits that end within the days of the policy, and those that ended within as many."""
    days = timedelta(days=policy_days("permit_expiry_days", today))
    rows = current_details().filter(valid_until__gte=today - days, valid_until__lte=today + days)
    found = list(rows.order_by("valid_until", "permit__number")[: MOST + 1])
    dues = [Due(f"Permit {row.permit}", "permit", row.permit.number, _ends(row, today)) for row in found[:MOST]]
    clear = f"No permit ends within {days.days} days or ended lately."
    hint = "Ask the authority for the next one in good time; nothing is done under an ended permit."
    return Section("Permits that end", clear, dues, len(found) > MOST, "permit_list", hint)


def permits_overused(_today: date) -> Section:
    """Permits that more was done under than they allow, or what they do not cover."""
    permits = known_permits(current_details().order_by("permit__number"))
    wrong = [one for one in permits if one.excess() or one.astray()]
    names = scientific_names() if wrong else {}
    dues = [Due(f"Permit {one.number}", "permit", one.number, _why(one, names)) for one in wrong]
    hint = "Look at what counts against it: a wrong number, or something to report to the authority."
    clear = "Nothing was done beyond what a permit allows."
    return Section("Permits overstepped", clear, dues[:MOST], len(dues) > MOST, "permit_list", hint)


def _ends(row: PermitDetails, today: date) -> str:
    assert row.valid_until is not None
    left = (row.valid_until - today).days
    if left < 0:
        return f"ended {spoken(row.valid_until)}"
    return f"ends {spoken(row.valid_until)}, " + ("today" if not left else f"in {left} day{'s' * (left != 1)}")


def _why(permit: KnownPermit, names: Names) -> str:
    over = [f"{whole(more)} too many: allowed is {in_words(line, names)}" for line, more in permit.excess()]
    astray = len(permit.astray())
    outside = [f"{astray} act{'s' * (astray != 1)} that it does not cover"] if astray else []
    return "; ".join([*over, *outside])
