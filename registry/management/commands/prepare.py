"""Bring database, static files and catalogue of the data folder up to date."""

from typing import Any

from django.conf import settings
from django.core.management import call_command
from django.core.management.base import BaseCommand

from registry.journal.upkeep import refresh_stale_statistics
from registry.operations.catalogue import load_catalogue
from registry.operations.identity.characters import load_characters
from registry.operations.people import installer


class Command(BaseCommand):
    help = "Migrates the database, collects static files, loads the catalogue; demo and serve do it by themselves."

    def handle(self, *_: Any, **options: Any) -> None:
        verbosity = options["verbosity"]
        settings.DATA.mkdir(parents=True, exist_ok=True)
        call_command("migrate", verbosity=verbosity, interactive=False)
        call_command("collectstatic", verbosity=0, interactive=False)
        load_catalogue(installer("prepare"))
        load_characters(installer("prepare"))
        refresh_stale_statistics()
