"""The hash of one line of the log over the one before it."""

import hashlib
import json
from collections.abc import Mapping

START = "0" * 64
COLUMNS = ("id", "at", "kind", "who_id", "address", "what", "subject", "row")


def seal_hash(before: str, position: int, line: Mapping) -> str:
    """SHA-256 over the hash before, the place and every column of the line; days as ISO 8601, in UTC."""
    stored = [line[name].isoformat() if name == "at" else line[name] for name in COLUMNS]
    words = json.dumps([before, position, stored], ensure_ascii=False)
    return hashlib.sha256(words.encode()).hexdigest()
