"""What may be entered of a photograph. Whether the file is a picture is told when it is read."""

from dataclasses import dataclass
from datetime import date

from registry.errors import Objection
from registry.rules.intake.in_hand import objections_to_being_in_hand
from registry.rules.known import Known
from registry.rules.texts import objections_to_texts

VIEWS = {"dorsal": "from above", "left": "left side", "ventral head": "head from below", "other": "other"}
# The three by which a fish is known again, and its species told.
ASKED = ("dorsal", "left", "ventral head")


@dataclass(frozen=True, slots=True, kw_only=True)
class PhotoTaken:
    """A photograph, by the hashes of the file as it came and of the picture made of it; sides in pixels."""

    fish: str
    view: str
    taken_on: date
    original: str
    original_name: str
    picture: str
    width: int
    height: int
    scale_shown: bool = False
    place_removed: bool = False
    notes: str = ""


def objections_to_photo(entry: PhotoTaken, known: Known) -> list[Objection]:
    """Return what is in the way of keeping this photograph, and the warning that no scale lies in it."""
    found = objections_to_texts(entry, {"notes": 200})
    found += objections_to_being_in_hand(entry.fish, "taken_on", entry.taken_on, known, dead_too=True)
    if entry.view not in VIEWS:
        found.append(Objection("bad_view", "view", f"“{entry.view}” is no side to take a fish from."))
    if entry.view in ASKED and not entry.scale_shown:
        text = f"Photograph {VIEWS[entry.view]}: no scale is said to lie in it. Without one nothing can be measured."
        found.append(Objection("no_scale", "scale_shown", text, warning=True))
    return found
