"""The documents about a record, for its page: {% documents "fish" fish.number %}."""

from typing import Any

from django import template

from registry.permissions import ENTER, may
from registry.queries.papers.documents import documents_on

register = template.Library()
MOST = 12


@register.inclusion_tag("registry/papers/attached.html", takes_context=True)
def documents(context: dict[str, Any], kind: str, number: str) -> dict[str, Any]:
    """Show the latest documents about one record, and where more are attached."""
    if not number:
        raise ValueError(f"The page of this {kind} does not say whose documents it shows.")
    found = list(documents_on(kind, number)[: MOST + 1])
    enters = may(context["who"], ENTER)
    return {"documents": found[:MOST], "more": len(found) > MOST, "on": f"{kind}:{number}", "enters": enters}
