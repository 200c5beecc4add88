"""What a trace starts with: a number or a tag code, alone or after its kind: `F23`, `fish F23`, `batch B26-01`."""

from registry.models import Recapture
from registry.queries.identity.find import Hit, find
from registry.rules.reading import shown

KINDS = ("fish", "family", "batch", "release", "tag", "recapture")
TRACED = ("fish", "family", "batch", "release")


def starts(text: str) -> list[Hit]:
    """Return every record that can be traced and is meant by the text; a recapture stands for its fish or release."""
    text = " ".join(text.split())
    kind, _, rest = text.partition(" ")
    named = kind.casefold() in KINDS and rest
    hits = find(rest if named else text).hits
    if named and kind.casefold() != "tag":
        hits = [hit for hit in hits if hit.kind == kind.casefold()]
    found = [_of_recapture(hit) if hit.kind == "recapture" else hit for hit in hits]
    return list({(hit.kind, hit.number): hit for hit in found if hit and hit.kind in TRACED}.values())


def _of_recapture(hit: Hit) -> Hit | None:
    met = Recapture.objects.current().filter(number=hit.number).select_related("fish", "release").first()
    if met and met.fish:
        return Hit("fish", met.fish.number, f"met again, recapture {hit.number}")
    if met and met.release:
        return Hit("release", met.release.number, f"met again, recapture {hit.number}")
    return None


def advice(text: str, hits: list[Hit]) -> str:
    """Return what to do when the text means no record or several."""
    if not hits:
        return (
            f"No fish, tag, family, batch or release is called “{shown(text)}”. "
            "Check the number, or scan the tag again."
        )
    named = ", ".join(f"“{hit.kind} {hit.number}”" for hit in hits)
    return f"“{shown(text)}” means {len(hits)} things. Write which: {named}."
