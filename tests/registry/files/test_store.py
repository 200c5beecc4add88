"""A kept file stays as it came, under its own hash; what nobody took is cleared away."""

import hashlib
import os
import stat
import time
from pathlib import Path

import pytest
from django.conf import settings

from registry.files import store

CONTENT = b"Permit to release 20,000 young."
# SHA-256 by FIPS 180-4, computed with Python's hashlib.
HASH = hashlib.sha256(CONTENT).hexdigest()


@pytest.fixture(autouse=True)
def own_folder(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    monkeypatch.setattr(settings, "DATA", tmp_path)
    monkeypatch.setattr(settings, "MEDIA_ROOT", tmp_path / "uploads")
    return tmp_path


def test_a_file_is_laid_aside_and_kept_under_the_hash_of_its_content() -> None:
    laid = store.lay_aside([CONTENT[:10], CONTENT[10:]], "permit.pdf")
    assert laid == store.LaidFile(HASH, len(CONTENT), "permit.pdf")
    assert store.laid_content(HASH) == CONTENT
    store.keep(HASH)
    assert store.path_of(HASH).read_bytes() == CONTENT
    assert store.fault_of(HASH) == ""


def test_a_kept_file_can_be_neither_run_nor_written_over() -> None:
    store.lay_aside([CONTENT], "a")
    store.keep(HASH)
    assert stat.S_IMODE(store.path_of(HASH).stat().st_mode) == 0o440
    kept = store.path_of(HASH).stat().st_ino
    store.lay_aside([CONTENT], "again")
    store.keep(HASH)
    assert store.path_of(HASH).stat().st_ino == kept


def test_a_file_kept_before_needs_not_come_in_again() -> None:
    store.lay_aside([CONTENT], "a")
    store.keep(HASH)
    (Path(settings.MEDIA_ROOT) / "waiting" / HASH).unlink()
    assert store.laid_content(HASH) == CONTENT
    store.keep(HASH)


def test_a_missing_and_an_altered_file_are_told_apart() -> None:
    assert store.fault_of(HASH) == "missing"
    store.lay_aside([CONTENT], "a")
    store.keep(HASH)
    os.chmod(store.path_of(HASH), 0o640)
    store.path_of(HASH).write_bytes(CONTENT.replace(b"20", b"90"))
    assert store.fault_of(HASH) == "altered"
    assert store.fault_of("../../secret.key") == "missing"


@pytest.mark.parametrize("text", ["", "../../secret.key", "A" * 64, HASH[:-1], HASH + "\n"])
def test_what_is_no_hash_never_becomes_a_path(text: str) -> None:
    with pytest.raises(ValueError, match="is no SHA-256 in small hexadecimal figures"):
        store.path_of(text)


def test_what_nobody_took_goes_after_fourteen_days_and_kept_files_stay() -> None:
    store.lay_aside([CONTENT], "old")
    store.keep(HASH)
    waiting = Path(settings.MEDIA_ROOT) / "waiting"
    long_ago = time.time() - (store.DAYS_LAID_ASIDE * 24 + 1) * 3600
    os.utime(waiting / HASH, (long_ago, long_ago))
    young = store.lay_aside([b"young"], "young")
    assert [path.name for path in waiting.iterdir()] == [young.sha256]
    assert store.path_of(HASH).exists()


def test_a_file_that_breaks_off_while_it_comes_in_leaves_nothing() -> None:
    def breaking():
        yield CONTENT
        raise OSError("the cable was pulled")

    with pytest.raises(OSError, match="the cable was pulled"):
        store.lay_aside(breaking(), "a")
    assert list((Path(settings.MEDIA_ROOT) / "waiting").iterdir()) == []
