"""What every test of the hatchery shares: a data folder of its own, one person per role, a network that ends here."""

import atexit
import os
import shutil
import sys
import tempfile

import pytest

if "PYTEST_XDIST_WORKER" not in os.environ:
    if "registry.settings" in sys.modules:
        raise pytest.UsageError("Unset DJANGO_SETTINGS_MODULE: the tests choose their own data folder before it loads.")
    for name in [name for name in os.environ if name.startswith("SCUTE_")]:
        del os.environ[name]
    # Before Django loads: no test may touch var/. Workers inherit the folder.
    os.environ["SCUTE_DATA"] = tempfile.mkdtemp(prefix="scute-tests-")
    atexit.register(shutil.rmtree, os.environ["SCUTE_DATA"], ignore_errors=True)
os.environ["DJANGO_SETTINGS_MODULE"] = "registry.settings"
# The browser's driver keeps an event loop in the main thread, where Django then refuses plain queries.
os.environ["DJANGO_ALLOW_ASYNC_UNSAFE"] = "1"

import django
import hypothesis
from django.conf import settings

settings.PASSWORD_HASHERS = ["django.contrib.auth.hashers.MD5PasswordHasher"]  # the real one takes 0.2 s a person
settings.STORAGES = settings.STORAGES | {
    "staticfiles": {"BACKEND": "django.contrib.staticfiles.storage.StaticFilesStorage"}
}
settings.WHITENOISE_AUTOREFRESH = settings.WHITENOISE_USE_FINDERS = True
django.setup()

from tests.support import flush

flush.step_round_the_guards()

hypothesis.settings.register_profile("local", deadline=None)
hypothesis.settings.register_profile("ci", deadline=None, derandomize=True)
hypothesis.settings.load_profile("ci" if os.environ.get("CI") else "local")

pytest_plugins = ["tests.support.people", "tests.support.services", "tests.support.spread", "tests.support.world"]
