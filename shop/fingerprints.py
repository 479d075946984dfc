"""The hash of words kept as plain values: the same words give the same hash on every machine."""

import hashlib
import json


def fingerprint(words) -> str:
    """SHA-256, in hex, of what fits into JSON; the order of names means nothing."""
    return hashlib.sha256(json.dumps(words, sort_keys=True, ensure_ascii=False).encode()).hexdigest()
