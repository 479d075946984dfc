"""The switch that leaves the shop open for reading alone, while a backup is brought back for instance.

It is a file beside the database, so that every process sees it with its next request and a restart keeps
it: a restore that was cut off leaves a shop that reads on and saves nothing until somebody has looked.
A request that is under way when the switch is thrown still ends as it began.
"""

import os
from pathlib import Path

from django.conf import settings

NO_WORDS = "the shop is being looked after"


def begin(why: str) -> None:
    """From now on nothing is saved; `why` ends the sentence “Nothing can be saved just now: …”."""
    words = " ".join(why.split())
    if not words:
        raise ValueError("Say why nothing can be saved; people read it.")
    fresh = _switch().with_name(f"read_only-{os.getpid()}")
    fresh.write_text(words)
    fresh.replace(_switch())


def end() -> None:
    """Saving goes on. Ending what had not begun does no harm."""
    _switch().unlink(missing_ok=True)


def reason() -> str | None:
    """Why nothing can be saved, or None when all is as usual."""
    try:
        return _switch().read_text().strip() or NO_WORDS
    except FileNotFoundError:
        return None
    except (OSError, UnicodeDecodeError):  # it is there and cannot be read
        return NO_WORDS


def _switch() -> Path:
    return Path(settings.DATA_DIR) / "read_only"
