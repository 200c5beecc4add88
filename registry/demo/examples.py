"""Tags of the demo that are worth scanning first."""

from registry.models import PlannedCross, Recapture, Tag
from registry.queries.crosses.states import plans_in_force


def tags_to_try() -> dict[str, str]:
    """Return the tag code of a planned female, of her male and of a released fish, each under what it is."""
    found: dict[str, str] = {}
    planned = PlannedCross.objects.current().filter(plan__in=plans_in_force()).order_by("pk").first()
    if planned:
        for who, fish in (("a female of the signed plan", planned.dam_id), ("her male", planned.sire_id)):
            tag = Tag.objects.current().filter(fish=fish, ended_on__isnull=True).first()
            if tag:
                found[who] = tag.code
    met = Recapture.objects.current().exclude(code_read="").filter(fish__isnull=False).first()
    if met:
        found["a released fish, caught again"] = met.code_read
    return found
