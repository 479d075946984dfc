"""A short name for what a paper says, so that two prints can be told to be the same."""

import hashlib
import json
from dataclasses import fields, is_dataclass
from datetime import date
from decimal import Decimal
from pathlib import Path


def content_hash(document) -> str:
    """SHA-256, in hex, of a dataclass and all it holds, pictures included, its type's name too.

    Fields marked `field(metadata={"hashed": False})` are left out: those that follow from the others.
    Raises TypeError for a value of an unexpected kind.
    """
    words = json.dumps(_plain(document), ensure_ascii=True, sort_keys=True, separators=(",", ":"))
    return hashlib.sha256(words.encode("ascii")).hexdigest()


def in_fours(digest: str, groups: int = 4) -> str:
    """The first sixteen digits, spaced for the eye: 3f2a 9c41 77b0 e2d1."""
    return " ".join(digest[start : start + 4] for start in range(0, 4 * groups, 4))


def _plain(value):
    if is_dataclass(value):
        kept = {
            each.name: _plain(getattr(value, each.name))
            for each in fields(value)
            if each.metadata.get("hashed", True)
        }
        return {"is": type(value).__name__} | kept
    if isinstance(value, list | tuple):
        return [_plain(each) for each in value]
    if isinstance(value, dict):
        return {str(key): _plain(each) for key, each in value.items()}
    if isinstance(value, bytes | Path):
        content = value.read_bytes() if isinstance(value, Path) else value
        return {"sha256": hashlib.sha256(content).hexdigest()}
    if isinstance(value, date):
        return value.isoformat()
    if isinstance(value, Decimal):
        return str(value)
    if value is None or isinstance(value, str | int | bool):
        return value
    raise TypeError(f"a paper cannot hold a {type(value).__name__}")
