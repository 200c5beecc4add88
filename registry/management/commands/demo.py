"""Build the demo register in an empty data folder, say where it is and who may sign in, and serve it."""

import json
import sys
import time
from argparse import ArgumentParser
from typing import Any

from django.core.management import call_command
from django.core.management.base import BaseCommand
from tqdm import tqdm

from registry.demo.accounts import PASSWORDS
from registry.demo.build import FIRST_SEASON, LAST_SEASON, SMALLEST, build_demo
from registry.demo.examples import tags_to_try
from registry.models import Fish, JournalEntry


class Command(BaseCommand):
    help = "Builds the demo register if the data folder is empty, prints address and accounts, and serves it."

    def add_arguments(self, parser: ArgumentParser) -> None:
        parser.add_argument("--no-serve", action="store_true", help="stop before serving")
        parser.add_argument("--seed", type=int, default=1, help="the same seed builds the same register (default 1)")
        parser.add_argument("--fish", type=int, default=SMALLEST, help=f"about how many fish (default {SMALLEST})")
        parser.add_argument("--bind", default="127.0.0.1:8000", help="address and port (default 127.0.0.1:8000)")
        parser.add_argument("--json", action="store_true", help="print what was built as JSON")

    def handle(self, *_: Any, **options: Any) -> None:
        call_command("prepare", verbosity=0)
        if JournalEntry.objects.exclude(subject="catalogue").exists():  # what ships is loaded first
            self.stderr.write("The data folder already holds a register; it is left as it is.")
        else:
            self._build(options)
        self._tell(options)
        if not options["no_serve"]:
            call_command("serve", bind=options["bind"])

    def _build(self, options: dict[str, Any]) -> None:
        started = time.monotonic()
        watched = sys.stderr.isatty() and not options["json"]
        with tqdm(total=LAST_SEASON - FIRST_SEASON + 1, unit="season", disable=not watched) as bar:
            build_demo(options["seed"], options["fish"], lambda _season: bar.update())
        self.stderr.write(f"Built in {time.monotonic() - started:.0f} s.")

    def _tell(self, options: dict[str, Any]) -> None:
        counts = {"fish": Fish.objects.count(), "journal_entries": JournalEntry.objects.count()}
        address = f"http://{options['bind']}/"
        if options["json"]:
            self.stdout.write(json.dumps({**counts, "address": address, "accounts": PASSWORDS}))
            return
        self.stdout.write(
            f"Brackenholt Weir Hatchery: {counts['fish']} fish, {counts['journal_entries']} journal entries."
        )
        self.stdout.write(f"Address: {address}")
        self.stdout.write("Accounts (name / password), for trying the register only:")
        for name, password in PASSWORDS.items():
            self.stdout.write(f"  {name} / {password}")
        for who, code in tags_to_try().items():
            self.stdout.write(f"Tag to scan, {who}: {code}")
