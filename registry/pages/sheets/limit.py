"""Uploads over the limit are not stored at all: the file is dropped while it arrives, the rest of the form stays."""

from typing import Any

from django.core.files.uploadhandler import FileUploadHandler, SkipFile

from registry.sheets.cells import MAX_BYTES

# What a form holds beside its file.
_FORM_BYTES = 64 * 1024


class LimitedUpload(FileUploadHandler):
    """Stands before Django's own handlers; `request.too_large` tells the form what happened."""

    received = 0

    def handle_raw_input(
        self, _input: Any, _meta: Any, content_length: int, _boundary: Any, _encoding: Any = None, **_: Any
    ) -> None:
        self.announced = content_length

    def receive_data_chunk(self, raw_data: bytes, _start: int) -> bytes:
        self.received += len(raw_data)
        if self.received > MAX_BYTES or self.announced > MAX_BYTES + _FORM_BYTES:
            self.request.too_large = max(self.received, self.announced)  # type: ignore[union-attr]
            raise SkipFile
        return raw_data

    def file_complete(self, _file_size: int) -> None:
        """Leave the file to the handlers behind."""
