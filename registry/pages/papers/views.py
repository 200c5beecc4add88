"""One permit: what it says, what was done under it, what it said before."""

from typing import Any

from django.http import Http404, HttpRequest, HttpResponse
from django.shortcuts import render
from django.utils import timezone
from django.utils.safestring import SafeString, mark_safe

from breeding.figures.use_bars import MOST_BARS, Use, use_bars
from registry.pages.papers.lists import state_of
from registry.permissions import KEEP_PERMITS, READ_JOURNAL, may
from registry.queries.papers.codes import trade_codes
from registry.queries.papers.generations import generations_of_acts, generations_of_stock
from registry.queries.papers.permits import current_details, earlier_details, known_permits, scientific_names
from registry.rules.fixed.cautions import PAPERS
from registry.rules.papers.acts import Act, Allowance, KnownPermit
from registry.rules.papers.generations import Generations, spread
from registry.rules.papers.permits import SPOKEN, UNITS, Names, in_words
from registry.web.links import address
from registry.web.people import actor

MOST_ACTS = 200
COUNTED = {
    "capture": "Capture: fish taken in whose capture names this permit. Fish let go on the spot are not counted.",
    "holding": "Holding: what the register holds today, registered fish and the young in batches, whatever permit they "
    "came under; of days gone by it is not counted.",
    "transfer": "Transfer out: fish, young, milt and samples that were entered as sent under this permit.",
    "release": "Release: fish and young of releases that name this permit.",
    "trade": "Across a border: of what was sent under this permit, what is entered as having crossed a border. What "
    "comes in from abroad is not counted.",
}


def permit(request: HttpRequest, number: str) -> HttpResponse:
    """Show one permit."""
    now = current_details().filter(permit__number=number).first()
    if now is None:
        raise Http404(f"There is no permit {number} in the register. It may have been taken back: see the journal.")
    (known,) = known_permits([now])
    behind = generations_of_acts(known.acts)
    who, names = actor(request), scientific_names()
    shown = {
        "title": f"Permit {number}",
        "now": now,
        "state": state_of(known, timezone.localdate()),
        "caution": PAPERS,
        "codes": {name: trade_codes()[name].get(getattr(now, name), "") for name in ("purpose", "source")},
        "lines": [_line(known, line, names) for line in known.allowances],
        "bars": _bars(known, names),
        "counting": _counting(known),
        "acts": _acts(known, behind, names),
        "all_acts": len(known.acts),
        "behind": spread(behind.values()) if behind else None,
        "stocks": [(stock, list(generations_of_stock(stock).items())) for stock in _stocks(known)],
        "earlier": earlier_details(now.permit),
        "entry": address("journal_entry", now.entry_id) if may(who, READ_JOURNAL) else "",
        "keeps": may(who, KEEP_PERMITS),
    }
    return render(request, "registry/papers/permit.html", shown)


def _line(known: KnownPermit, line: Allowance, names: Names) -> dict[str, Any]:
    used = known.used(line)
    left = None if line.most is None else max(line.most - used, 0)
    over = max(used - line.most, 0) if line.most is not None else 0
    what = SPOKEN[line.act].removeprefix("the ")
    if line.specimen:
        what = f"{what}: {UNITS[line.specimen]}"
    of = {"species": names.get(line.species, ""), "stock": line.stock}
    return of | {"what": what, "most": line.most, "used": used, "left": left, "over": over}


def _bars(known: KnownPermit, names: Names) -> SafeString:
    rows = [
        Use(in_words(line, names).removeprefix("the "), known.used(line), line.most)
        for line in known.allowances[:MOST_BARS]
    ]
    return mark_safe(use_bars(rows, f"Use of permit {known.number}"))  # noqa: S308


def _acts(known: KnownPermit, behind: dict[tuple[str, str], Generations], names: Names) -> list[dict[str, Any]]:
    astray = {id(act) for act in known.astray()}
    found = []
    for act in known.acts[-MOST_ACTS:][::-1]:
        why = "not covered" if not known.covers(act) else "outside its days" if id(act) in astray else ""
        found.append(
            {
                "act": act,
                "species": names.get(act.species, ""),
                "what": _said(act),
                "address": address(act.page, act.number),
                "astray": why,
                "generations": behind.get((act.page, act.number), ""),
            }
        )
    return found


def _said(act: Act) -> str:
    what = SPOKEN[act.kind].removeprefix("the ") + (f": {UNITS[act.specimen]}" if act.specimen else "")
    return f"{what}, across a border" if act.abroad else what


def _counting(known: KnownPermit) -> list[str]:
    """Return how each kind of line is counted, and what is not."""
    return [words for act, words in COUNTED.items() if any(line.act == act for line in known.allowances)]


def _stocks(known: KnownPermit) -> list[str]:
    return list(dict.fromkeys(line.stock for line in known.allowances if line.stock))
