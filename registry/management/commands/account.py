"""Make an account with a role: how the first administrator of a new register comes in."""

import getpass
import json
import secrets
import sys
from argparse import ArgumentParser
from typing import Any

from django.core.management import call_command
from django.core.management.base import BaseCommand, CommandError

from registry.errors import Refused
from registry.models import Role
from registry.operations.people import Invitation, installer, invite


class Command(BaseCommand):
    help = "Makes an account with a role; asks for the password, or makes one up and prints it once."

    def add_arguments(self, parser: ArgumentParser) -> None:
        parser.add_argument("name", help="name to sign in with; it stands in the journal for good")
        parser.add_argument("--role", choices=Role.values, default=Role.ADMINISTRATOR, help="default: administrator")
        parser.add_argument("--make-password", action="store_true", help="make a password up and print it")
        parser.add_argument("--json", action="store_true", help="print the account as JSON")

    def handle(self, *_: Any, **options: Any) -> None:
        call_command("prepare", verbosity=0)
        made_up = options["make_password"] or not sys.stdin.isatty()
        password = secrets.token_urlsafe(12) if made_up else getpass.getpass("Password (at least 10 characters): ")
        try:
            invite(installer("command"), Invitation(name=options["name"], password=password, role=options["role"]))
        except Refused as refused:
            raise CommandError(str(refused)) from refused
        told = {"name": options["name"], "role": options["role"], **({"password": password} if made_up else {})}
        if options["json"]:
            self.stdout.write(json.dumps(told))
            return
        self.stdout.write(f"Account {told['name']}, {Role(told['role']).label.lower()}, is made.")
        if made_up:
            self.stdout.write(f"Password, shown this once: {password}")
