#!/usr/bin/env python3
"""Command line of the register: `python manage.py help` lists what it can do."""

import os
import sys

from django.core.management import execute_from_command_line

if __name__ == "__main__":
    os.environ.setdefault("DJANGO_SETTINGS_MODULE", "registry.settings")
    # Requests share the cores already; threads of the matrix library in each of them would fight for them.
    os.environ.setdefault("OPENBLAS_NUM_THREADS", "1")
    execute_from_command_line(sys.argv)
