"""Photographs of fish: the file as it came is kept beside the picture made of it."""

from registry.errors import Objection
from registry.files.store import keep, laid_content
from registry.journal.write import Entry
from registry.models import Fish, Photo
from registry.operations.shared.desk import Deed, Desk
from registry.permissions import ENTER, Actor
from registry.queries.known import Named
from registry.rules.intake.photos import PhotoTaken, objections_to_photo
from registry.rules.known import Known


def add_photo(by: Actor, entry: PhotoTaken, *, confirmed: bool = True) -> Photo:
    """Keep a photograph of a fish. Refused: a day on which it was not here, a file that is not here, twice the same."""
    return PHOTO.do(by, entry, confirmed=confirmed)


def objections_to_files(entry: PhotoTaken) -> list[Objection]:
    """Return why the files of a photograph cannot be kept."""
    if laid_content(entry.original) is not None and laid_content(entry.picture) is not None:
        return []
    text = f"“{entry.original_name}” is no longer here. Choose the photograph again."
    return [Objection("gone", "photo", text, entry.original_name)]


def write_photo(made: Entry, fish: Fish, entry: PhotoTaken) -> Photo:
    """Write a photograph into an open entry, and keep its files."""
    keep(entry.original)
    keep(entry.picture)
    return made.add(
        Photo(
            fish=fish,
            view=entry.view,
            taken_on=entry.taken_on,
            scale_shown=entry.scale_shown,
            original=entry.original,
            original_name=entry.original_name,
            picture=entry.picture,
            width=entry.width,
            height=entry.height,
            place_removed=entry.place_removed,
            notes=entry.notes,
        )
    )


def _judge(entry: PhotoTaken, known: Known) -> list[Objection]:
    found = objections_to_photo(entry, known) + objections_to_files(entry)
    fish = known.find_fish(entry.fish)
    if fish and Photo.objects.current().filter(fish=fish.pk, original=entry.original).exists():
        text = f"This very photograph is kept of {fish.number} already."
        found.append(Objection("duplicate_id", "photo", text, entry.original_name))
    return found


def _write(desk: Desk, entry: PhotoTaken) -> Photo:
    fish = desk.fish(entry.fish)
    return write_photo(desk.entry("photograph kept", f"fish {fish.number}", entry.taken_on), fish, entry)


PHOTO = Deed(ENTER, lambda e: Named(fish={e.fish}), _judge, lambda _entry, _known: None, _write)
