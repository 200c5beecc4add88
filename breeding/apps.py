"""Breeding as a Django app: it computes and has no tables."""

from django.apps import AppConfig


class BreedingConfig(AppConfig):
    """Registry remembers; breeding computes."""

    name = "breeding"
