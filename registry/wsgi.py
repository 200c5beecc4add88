"""The site as a WSGI application."""

import os

from django.core.wsgi import get_wsgi_application

os.environ.setdefault("DJANGO_SETTINGS_MODULE", "registry.settings")
# Requests share the cores already; threads of the matrix library in each of them would fight for them.
os.environ.setdefault("OPENBLAS_NUM_THREADS", "1")
application = get_wsgi_application()
