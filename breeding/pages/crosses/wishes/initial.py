"""What the pages of terms, limits and fish hold at first: what holds in the plan, and what the address asks for."""

from decimal import Decimal
from typing import Any

from breeding.pages.crosses.wishes.forms import SET, TermsForm
from registry.rules.crossing.limits import PairLimit
from registry.rules.crossing.wishes import Wishes

Held = dict[str, Any]


def terms(wishes: Wishes, asked: Held, _limit: None) -> Held:
    """Return the terms in force."""
    held = {name: getattr(wishes.terms, name) for name in TermsForm.base_fields}
    return {name: _plain(value) for name, value in held.items()} | asked


def limit(wishes: Wishes, asked: Held, of: PairLimit) -> Held:
    """Return the figure in force, or the one that the address names."""
    return {"how": SET, "value": _plain(wishes.limits.all[of.key].value)} | asked


def fish(wishes: Wishes, asked: Held, _limit: None) -> Held:
    """Return what was said of the fish before."""
    held = wishes.fish.get(asked.get("fish", ""))
    return ({"stand": held.stand, "most": held.most, "reason": held.reason} if held else {}) | asked


def _plain(value: Any) -> Any:
    return f"{value.normalize():f}" if isinstance(value, Decimal) else value
