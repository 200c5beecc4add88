"""Files in forms: too large ones are dropped while they arrive, taken ones need not be chosen again after a refusal.

A view is wrapped in `takes_files` in its `urls.py`; its form has `KeptUpload` fields, which clean to a LaidFile.
"""

from collections.abc import Callable, Collection
from functools import wraps
from typing import Any

from django import forms
from django.core import signing
from django.core.files.uploadedfile import UploadedFile
from django.core.files.uploadhandler import FileUploadHandler, SkipFile
from django.http import HttpRequest, HttpResponse
from django.utils.html import format_html
from django.utils.safestring import SafeString
from django.views.decorators.csrf import csrf_exempt, csrf_protect

from registry.files.store import DAYS_LAID_ASIDE, LaidFile, laid_content, lay_aside
from registry.rules.papers.files import KINDS, LARGEST_FILE, TOO_LARGE, FileKind, read_file

_SALT = "file laid aside"
_DAY = 24 * 3600


class LimitedUpload(FileUploadHandler):
    """Stands before Django's own handlers and drops a file over the limit.

    `request.too_large` then holds the field's name, and how many bytes the browser announced for the whole form.
    """

    def __init__(self, request: HttpRequest, largest: int) -> None:
        super().__init__(request)
        self.largest = largest
        self.announced = self.received = 0
        self.dropped: dict[str, int] = {}
        request.too_large = self.dropped  # type: ignore[attr-defined]

    def handle_raw_input(
        self, _input: Any, _meta: Any, content_length: int, _boundary: Any, _encoding: Any = None, **_: Any
    ) -> None:
        self.announced = content_length

    def new_file(self, *args: Any, **options: Any) -> None:
        super().new_file(*args, **options)
        self.received = 0

    def receive_data_chunk(self, raw_data: bytes, _start: int) -> bytes:
        self.received += len(raw_data)
        if self.received > self.largest:
            self.dropped[str(self.field_name)] = max(self.received, self.announced)
            raise SkipFile
        return raw_data

    def file_complete(self, _file_size: int) -> None:
        """Leave the file to the handlers behind."""


def takes_files(view: Callable[..., HttpResponse], largest: int = LARGEST_FILE) -> Callable[..., HttpResponse]:
    """Set the limit before anything reads the form; the check that the form is ours comes right after it."""
    guarded = csrf_protect(view)

    @csrf_exempt
    @wraps(view)
    def limited(request: HttpRequest, *args: Any, **options: Any) -> HttpResponse:
        request.upload_handlers.insert(0, LimitedUpload(request, largest))
        return guarded(request, *args, **options)

    return limited


class _KeptInput(forms.FileInput):
    """Chooses a file; one that came in before is named, and sent along by its hash."""

    laid: LaidFile | None = None

    def value_from_datadict(self, data: Any, files: Any, name: str) -> Any:
        return files.get(name) or data.get(f"{name}_kept") or None

    def value_omitted_from_data(self, data: Any, files: Any, name: str) -> bool:
        return name not in files and f"{name}_kept" not in data

    def render(self, name: str, *given: Any, **options: Any) -> SafeString:
        chosen = super().render(name, *given, **options)
        if self.laid is None:
            return chosen
        token = signing.dumps([self.laid.sha256, self.laid.size, self.laid.name], salt=_SALT)
        return format_html(
            '{}<input type="hidden" name="{}_kept" value="{}"><span class="laid">“{}” is here already ({} kB). '
            "Choose another only if it is the wrong one.</span>",
            chosen, name, token, self.laid.name, -(-self.laid.size // 1000),
        )  # fmt: skip


class KeptUpload(forms.FileField):
    """A file for a record: its kind is told by its content; cleans to a LaidFile, or to None when left empty."""

    def __init__(self, *, kinds: Collection[FileKind] = tuple(KINDS.values()), **options: Any) -> None:
        accepted = ",".join(ending for kind in kinds for ending in kind.endings)
        super().__init__(**{"widget": _KeptInput(attrs={"accept": accepted})} | options)
        self.kinds = kinds

    def clean(self, data: Any, _initial: Any = None) -> LaidFile | None:
        if not data:
            if self.required:
                raise forms.ValidationError("No file was chosen. Choose one.", "required")
            return None
        laid, content = _laid_before(data) if isinstance(data, str) else _laid_now(data)
        reading = read_file(content, laid.name, self.kinds)
        if reading.refused:
            raise forms.ValidationError([forms.ValidationError(o.message, o.code) for o in reading.objections])
        self.widget.laid = laid
        return laid


def tell_too_large(form: forms.Form, request: HttpRequest) -> None:
    """Say at its field which file was dropped for its size, instead of that none was chosen."""
    for name in getattr(request, "too_large", {}):
        if name in form.fields:
            form.errors.pop(name, None)
            form.add_error(name, forms.ValidationError(TOO_LARGE, "too_large"))


def _laid_now(file: UploadedFile) -> tuple[LaidFile, bytes]:
    content = b"".join(file.chunks())
    return lay_aside([content], file.name or ""), content


def _laid_before(token: str) -> tuple[LaidFile, bytes]:
    try:
        laid = LaidFile(*signing.loads(token, salt=_SALT, max_age=DAYS_LAID_ASIDE * _DAY))
    except (signing.BadSignature, TypeError):
        laid = None
    content = laid_content(laid.sha256) if laid else None
    if laid is None or content is None:
        raise forms.ValidationError("The file chosen earlier is no longer here. Choose it again.", "gone")
    return laid, content
