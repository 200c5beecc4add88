"""Photographs of fish. What leaves the facility is the re-encoded picture; the original stays and is hashed."""

from django.db import models

from registry.models.record import Record


class Photo(Record):
    """One photograph of a fish from one side.

    The original may hold the position of a spawning ground; it is never served. The picture is made of it anew,
    upright, no larger than a page needs, with nothing but what is seen.
    """

    class View(models.TextChoices):
        DORSAL = "dorsal", "From above"
        LEFT = "left", "Left side"
        VENTRAL_HEAD = "ventral head", "Head from below"
        OTHER = "other", "Other"

    fish = models.ForeignKey("registry.Fish", on_delete=models.PROTECT, related_name="photos")
    view = models.CharField(max_length=12, choices=View.choices)
    taken_on = models.DateField()
    scale_shown = models.BooleanField(default=False, help_text="A scale lies beside the fish.")
    original = models.CharField(max_length=64, help_text="SHA-256 of the file as it came.")
    original_name = models.CharField(max_length=100)
    picture = models.CharField(max_length=64, help_text="SHA-256 of the picture that is shown.")
    width = models.PositiveIntegerField()
    height = models.PositiveIntegerField()
    place_removed = models.BooleanField(default=False, help_text="The original names a position.")
    notes = models.CharField(max_length=200, blank=True)

    KEPT_FILES = ("original", "picture")

    class Meta(Record.Meta):
        ordering = ["taken_on", "pk"]
        constraints = [
            models.UniqueConstraint(
                fields=["fish", "original"], condition=models.Q(withdrawn__isnull=True), name="photo_of_a_fish_once"
            ),
        ]

    def __str__(self) -> str:
        return f"photograph of {self.fish}, {self.get_view_display().lower()}"
