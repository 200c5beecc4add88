"""What a database wants after much was written: fresh statistics, so that lists keep using their indexes."""

from django.db import connection


def refresh_statistics() -> None:
    """Let the database look at its tables anew; called after a demo or a long sheet, outside any transaction."""
    with connection.cursor() as cursor:
        cursor.execute("ANALYZE")
