"""Reads the SCUTE_ environment and refuses bad values with the way out. No Django here: settings use it."""

import os
import secrets
from collections.abc import Mapping
from pathlib import Path

WEAK_KEY_LENGTH = 50


class BadSetting(Exception):
    """A setting cannot be used; the text names the variable and says what to give."""


def flag(environ: Mapping[str, str], name: str, default: bool) -> bool:
    """Return a yes/no variable; anything but 1, 0, true, false, yes, no is refused."""
    raw = environ.get(name, "").strip().lower()
    if not raw:
        return default
    if raw in {"1", "true", "yes", "on"}:
        return True
    if raw in {"0", "false", "no", "off"}:
        return False
    raise BadSetting(f"{name}={raw!r} is neither yes nor no. Set it to 1 or 0, or leave it out.")


def data_folder(environ: Mapping[str, str], base: Path) -> Path:
    """Return the folder of database, uploads and exports, made if it is missing."""
    folder = Path(environ.get("SCUTE_DATA") or base / "var").expanduser().resolve()
    try:
        folder.mkdir(parents=True, exist_ok=True)
    except OSError as error:
        raise BadSetting(
            f"SCUTE_DATA={folder} cannot be made ({error.strerror}). Name a folder you may write to."
        ) from error
    return folder


def secret_key(environ: Mapping[str, str], folder: Path) -> str:
    """Return the given key, refused when short, or the one kept in the data folder, made at the first start."""
    given = environ.get("SCUTE_SECRET_KEY", "")
    if given:
        if len(given) < WEAK_KEY_LENGTH or len(set(given)) < 10:
            raise BadSetting(
                f"SCUTE_SECRET_KEY is too weak: give at least {WEAK_KEY_LENGTH} random characters, or leave it out "
                "and the site makes its own in the data folder."
            )
        return given
    path = folder / "secret.key"
    try:
        descriptor = os.open(path, os.O_WRONLY | os.O_CREAT | os.O_EXCL, 0o600)
    except FileExistsError:
        key = path.read_text(encoding="ascii").strip()
        if len(key) < WEAK_KEY_LENGTH:
            raise BadSetting(
                f"The key in {path} is too short. Remove the file and start again to get a new one."
            ) from None
        return key
    with os.fdopen(descriptor, "w", encoding="ascii") as file:
        key = secrets.token_urlsafe(WEAK_KEY_LENGTH)
        file.write(key)
    return key


def hosts(environ: Mapping[str, str]) -> list[str]:
    """Return the names and addresses under which the site answers."""
    extra = [host.strip() for host in environ.get("SCUTE_HOSTS", "").split(",") if host.strip()]
    if "*" in extra:
        raise BadSetting("SCUTE_HOSTS may not be '*'. List the names and addresses of this machine, with commas.")
    return ["localhost", "127.0.0.1", "[::1]", *extra]
