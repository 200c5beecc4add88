"""Uploaded sheets: kept by the hash of their content; what a person said of each is kept in the session."""

import hashlib
import os
import secrets
from dataclasses import asdict, dataclass, field
from datetime import date
from pathlib import Path
from tempfile import NamedTemporaryFile
from typing import IO, Any

from django.conf import settings
from django.core.files.uploadedfile import UploadedFile
from django.http import Http404, HttpRequest

from registry.files.store import clear_away
from registry.permissions import ADMINISTER, Actor, may
from registry.sheets.kinds.shared import Options

_KEY = "sheets"
_MOST = 20


@dataclass(slots=True)
class Upload:
    """One sheet on its way into the register. `columns` leads from headings to fields ("" leaves a column out)."""

    token: str
    content: str
    name: str
    kind: str
    as_of: str
    sheet: str = ""
    date_order: str = ""
    decimal: str = ""
    raw: str = ""
    columns: dict[str, str] = field(default_factory=dict)
    taken: dict[str, Any] = field(default_factory=dict)

    @property
    def path(self) -> Path:
        """Return where the file is kept: on its way, or for good once it was taken in."""
        waiting = _folder() / self.content
        return waiting if waiting.exists() else _taken() / self.content

    @property
    def to_mend(self) -> Path:
        """Return where the refused rows are kept once the good ones are taken in."""
        return _folder() / f"{self.token}-to-mend.xlsx"

    def options(self, who: Actor) -> Options:
        """Return how the sheet is to be read; only who may administer opens stocks and units with it."""
        return Options(
            as_of=date.fromisoformat(self.as_of),
            date_order=self.date_order or None,  # type: ignore[arg-type]
            decimal=self.decimal or None,  # type: ignore[arg-type]
            open_new=may(who, ADMINISTER),
            raw=self.raw,
        )


def keep(request: HttpRequest, file: UploadedFile, kind: str, as_of: date) -> Upload:
    """Keep an uploaded file under the hash of its content, whatever its name says.

    What nobody took in is cleared away after some days; sheets that were taken in stay.
    """
    clear_away(_folder())
    digest = hashlib.sha256()
    with NamedTemporaryFile(dir=_folder(), delete=False) as kept:
        for chunk in file.chunks():
            digest.update(chunk)
            kept.write(chunk)
    os.replace(kept.name, _folder() / digest.hexdigest())
    name = Path(file.name or "sheet").name[:200]
    upload = Upload(secrets.token_hex(8), digest.hexdigest(), name, kind, as_of.isoformat())
    remember(request, upload)
    return upload


def settle(upload: Upload) -> None:
    """Keep the file of a sheet that was taken in for good: the journal names it."""
    waiting = _folder() / upload.content
    if waiting.exists():
        os.replace(waiting, _taken() / upload.content)


def remember(request: HttpRequest, upload: Upload) -> None:
    """Write down what the person said of a sheet; the oldest of many are forgotten."""
    known = {**request.session.get(_KEY, {}), upload.token: asdict(upload)}
    request.session[_KEY] = dict(list(known.items())[-_MOST:])


def forget(request: HttpRequest, upload: Upload) -> None:
    """Leave a sheet; its file stays, other people may have the same one on its way."""
    known = dict(request.session.get(_KEY, {}))
    known.pop(upload.token, None)
    request.session[_KEY] = known


def uploads(request: HttpRequest) -> list[Upload]:
    """Return the person's sheets, the latest first."""
    return [Upload(**values) for values in reversed(request.session.get(_KEY, {}).values())]


def upload_of(request: HttpRequest, token: str) -> Upload:
    """Return one of the person's sheets, 404 where it is not theirs or its file is gone."""
    for upload in uploads(request):
        if upload.token == token and upload.path.exists():
            return upload
    raise Http404("This sheet is not on its way in your session. Choose the file again.")


def _folder() -> Path:
    folder = Path(settings.MEDIA_ROOT) / "sheets"
    folder.mkdir(parents=True, exist_ok=True)
    return folder


def _taken() -> Path:
    folder = _folder() / "taken"
    folder.mkdir(exist_ok=True)
    return folder


def write_to_mend(upload: Upload, file: IO[bytes]) -> None:
    """Keep the file of refused rows."""
    upload.to_mend.write_bytes(file.read())
