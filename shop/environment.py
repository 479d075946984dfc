"""Reading the environment, loud about mistakes."""

import os
import secrets
import sys
from contextlib import suppress
from pathlib import Path

from django.core.exceptions import ImproperlyConfigured


def environment_flag(name: str, *, default: bool) -> bool:
    value = os.environ.get(name, "yes" if default else "no").strip().lower()
    if value not in {"yes", "no", "true", "false", "1", "0"}:
        raise ImproperlyConfigured(f"{name} must be yes or no, not {value!r}.")
    return value in {"yes", "true", "1"}


def environment_list(name: str, default: str) -> list[str]:
    return [part.strip() for part in os.environ.get(name, default).split(",") if part.strip()]


def files_are_collected(folder: Path) -> bool:
    """Whether `collectstatic` has packed the files of the pages, or is about to for the first time."""
    return (folder / "staticfiles.json").exists() or sys.argv[1:2] == ["collectstatic"]


def kept_secret_key(folder: Path) -> str:
    """A key made at the first start and kept readable to this user alone."""
    path = folder / "secret_key"
    if not path.exists():
        fresh = folder / f"secret_key-{os.getpid()}"
        fresh.touch(mode=0o600)
        fresh.write_text(secrets.token_urlsafe(50))
        with suppress(FileExistsError):  # of several processes starting together, the first one's key is kept
            path.hardlink_to(fresh)
        fresh.unlink()
    return path.read_text()
