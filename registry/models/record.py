"""The one abstract base of everything the register keeps. Only registry.journal.write puts rows in."""

from typing import Any, NoReturn

from django.db import models


class WrittenPastTheJournal(RuntimeError):
    """Code tried to write a record without an operation; a fault of the program, never of a person."""


def refuse(what: str) -> NoReturn:
    """Refuse a write that did not come through a journal entry."""
    raise WrittenPastTheJournal(
        f"{what} is only written by an operation, through its journal entry (registry.journal.write)."
    )


class RecordQuerySet(models.QuerySet):
    """Reads freely and refuses every write; the journal writes with a plain query set."""

    def bulk_create(self, *args: Any, **kwargs: Any) -> NoReturn:
        refuse(self.model.__name__)

    def update(self, **kwargs: Any) -> NoReturn:
        refuse(self.model.__name__)

    def bulk_update(self, *args: Any, **kwargs: Any) -> NoReturn:
        refuse(self.model.__name__)

    def delete(self) -> NoReturn:
        refuse(self.model.__name__)

    def current(self) -> "RecordQuerySet":
        """Return the rows that no later correction took back."""
        return self.filter(withdrawn__isnull=True)


class Record(models.Model):
    """A row that says when and by whom it came (`entry`) and, if a later entry took it back, by which (`withdrawn`)."""

    entry = models.ForeignKey(
        "registry.JournalEntry",
        on_delete=models.PROTECT,
        related_name="+",
        editable=False,
        help_text="The journal entry that wrote this row.",
    )
    withdrawn = models.ForeignKey(
        "registry.JournalEntry",
        on_delete=models.PROTECT,
        related_name="+",
        null=True,
        editable=False,
        help_text="The later entry that took this row back, if any; the row stays readable.",
    )

    objects = RecordQuerySet.as_manager()

    # Columns that an entry may fill, once, from empty: the open end of a tag, a stay, a role.
    OPEN_ENDS: tuple[str, ...] = ()
    # Columns that hold the SHA-256 of a kept file (registry.files); verify_journal reads those files again.
    KEPT_FILES: tuple[str, ...] = ()

    class Meta:
        abstract = True
        base_manager_name = "objects"

    def save(self, *args: Any, **kwargs: Any) -> NoReturn:
        refuse(type(self).__name__)

    def delete(self, *args: Any, **kwargs: Any) -> NoReturn:
        refuse(type(self).__name__)
