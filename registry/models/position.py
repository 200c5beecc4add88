"""Positions in decimal degrees, WGS 84: both given, or neither."""

from django.db import models

LATITUDE = {"max_digits": 8, "decimal_places": 6}
LONGITUDE = {"max_digits": 9, "decimal_places": 6}


def position_on_earth(name: str) -> models.CheckConstraint:
    """Return the constraint of that name that `latitude` and `longitude` are both empty, or a place on Earth."""
    return models.CheckConstraint(
        condition=models.Q(latitude__isnull=True, longitude__isnull=True)
        | models.Q(
            latitude__isnull=False,
            longitude__isnull=False,
            latitude__gte=-90,
            latitude__lte=90,
            longitude__gte=-180,
            longitude__lte=180,
        ),
        name=name,
    )
