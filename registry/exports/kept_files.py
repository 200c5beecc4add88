"""Kept files on their way out: as they came in, under the name and kind that the register gave them."""

from django.http import FileResponse, Http404

from registry.files.store import open_kept

# A picture is shown in the page; whatever else a file pretends to be, nothing in it runs.
_NOTHING_RUNS = "default-src 'none'; sandbox"


def as_attachment(sha256: str, name: str, media_type: str) -> FileResponse:
    """Return a kept file to be saved; it is never opened within the site."""
    return _answer(sha256, media_type, as_attachment=True, filename=name)


def as_picture(sha256: str, name: str, media_type: str) -> FileResponse:
    """Return a kept picture to be shown in a page of the site."""
    return _answer(sha256, media_type, filename=name)


def _answer(sha256: str, media_type: str, **options: object) -> FileResponse:
    try:
        file = open_kept(sha256)
    except FileNotFoundError as missing:
        raise Http404(
            "The register knows this file, and it is no longer in the data folder. Tell the administrator: "
            "verify_journal names it, and a backup holds it."
        ) from missing
    headers = {"X-Content-Type-Options": "nosniff", "Content-Security-Policy": _NOTHING_RUNS}
    return FileResponse(file, content_type=media_type, headers=headers, **options)
