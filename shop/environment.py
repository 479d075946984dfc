"""Reading the environment, loud about mistakes."""

import os
import secrets
import sys
from contextlib import suppress
from pathlib import Path
from urllib.parse import urlsplit

from django.core.exceptions import ImproperlyConfigured

HERE = {"localhost", "127.0.0.1", "::1"}


def environment_flag(name: str, *, default: bool) -> bool:
    value = os.environ.get(name, "yes" if default else "no").strip().lower()
    if value not in {"yes", "no", "true", "false", "1", "0"}:
        raise ImproperlyConfigured(f"{name} must be yes or no, not {value!r}.")
    return value in {"yes", "true", "1"}


def environment_list(name: str, default: str) -> list[str]:
    return [part.strip() for part in os.environ.get(name, default).split(",") if part.strip()]


def files_are_collected(folder: Path, program: Path) -> bool:
    """Whether `collectstatic` has packed the files of the pages as they are now, or is about to.

    After an update that forgot it they are served as they lie: slower, and never half of each.
    """
    if sys.argv[1:2] == ["collectstatic"]:
        return True
    packed = folder / "staticfiles.json"
    if not packed.exists():
        return False
    written = packed.stat().st_mtime
    sources = [program / "shop" / "bound_files.py", *(program / "static").rglob("*")]
    return all(source.stat().st_mtime <= written for source in sources)


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


def media_storage() -> dict:
    """Where uploaded files are kept: on this machine's disk, or in an S3 bucket that several share."""
    bucket = os.environ.get("WRESTPLANK_S3_BUCKET", "")
    if not bucket:
        return {"BACKEND": "shop.storage.SettledFileSystemStorage"}
    keys = [os.environ.get(name, "") for name in ("WRESTPLANK_S3_KEY", "WRESTPLANK_S3_SECRET")]
    if any(keys) and not all(keys):
        raise ImproperlyConfigured("WRESTPLANK_S3_KEY and WRESTPLANK_S3_SECRET belong together.")
    endpoint = os.environ.get("WRESTPLANK_S3_ENDPOINT") or None
    if endpoint and urlsplit(endpoint).scheme != "https" and urlsplit(endpoint).hostname not in HERE:
        raise ImproperlyConfigured("WRESTPLANK_S3_ENDPOINT on another machine begins with https://.")
    options = {
        "bucket_name": bucket,
        "endpoint_url": endpoint,
        "region_name": os.environ.get("WRESTPLANK_S3_REGION") or "us-east-1",
        # Without them the machine's own role is asked, as the client of the protocol is used to.
        "access_key": keys[0] or None,
        "secret_key": keys[1] or None,
        "addressing_style": "path" if endpoint else "auto",
        "default_acl": None,
        "file_overwrite": False,
        "max_memory_size": 1024 * 1024,
    }
    return {"BACKEND": "shop.object_store.ObjectStore", "OPTIONS": options}


def cookie_names(https: bool) -> dict[str, str]:
    """For the settings; see `shop/security/cookies.py`, which names the others."""
    before = "__Host-" if https else ""
    names = {"SESSION_COOKIE_NAME": f"{before}sessionid", "CSRF_COOKIE_NAME": f"{before}csrftoken"}
    return names | {"MESSAGE_STORAGE": "shop.security.cookies.Messages"}
