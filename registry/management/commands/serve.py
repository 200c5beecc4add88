"""Serve the site for use in the house."""

from argparse import ArgumentParser
from typing import Any

from django.core.management import call_command
from django.core.management.base import BaseCommand
from django.core.wsgi import get_wsgi_application
from gunicorn.app.base import BaseApplication

THREADS = 8


class _Server(BaseApplication):
    """gunicorn with settings given here: one process, because SQLite's writers queue best in one."""

    def __init__(self, bind: str) -> None:
        self.bind = bind
        super().__init__()

    def load_config(self) -> None:
        self.cfg.set("bind", self.bind)
        self.cfg.set("workers", 1)
        self.cfg.set("threads", THREADS)
        self.cfg.set("worker_class", "gthread")
        self.cfg.set("control_socket_disable", True)

    def load(self) -> Any:
        return get_wsgi_application()


class Command(BaseCommand):
    help = "Serves the register at the address given, after bringing database and static files up to date."

    def add_arguments(self, parser: ArgumentParser) -> None:
        parser.add_argument("--bind", default="127.0.0.1:8000", help="address and port (default 127.0.0.1:8000)")

    def handle(self, *_: Any, **options: Any) -> None:
        call_command("prepare", verbosity=0)
        self.stdout.write(f"Serving at http://{options['bind']}/ — stop with Ctrl+C.")
        _Server(options["bind"]).run()
