"""Whether two cards may be of one person: the same name, and something else that few share.

Common practice, no source: a name alone is no proof (there are two John Smiths in every town), and a
telephone number alone may be a household's. The shop decides; this only finds what is worth a look.
"""

import re
import unicodedata
from collections import defaultdict
from collections.abc import Iterable
from dataclasses import dataclass

DIGITS_THAT_TELL = 9
EXTENSION = re.compile(r"(?:x|ext\.?)\s*\d+\s*$", re.IGNORECASE)


@dataclass(frozen=True)
class Card:
    key: int
    name: str
    address: str = ""
    telephone: str = ""
    email: str = ""


@dataclass(frozen=True)
class Pair:
    """Two cards, the older first, and what speaks for their being one person's."""

    older: int
    newer: int
    reasons: tuple[str, ...]


def name_key(name: str) -> str:
    """The words of a name without case, accents, stops or order: “Arden, Wilf” is “Wilf Arden”."""
    return " ".join(sorted(_words(name)))


def telephone_key(number: str) -> str:
    """What two spellings of one number share: its last nine digits, without an extension; "" if too short.

    The code of the country and the nought before the area stand before these, written or not.
    """
    digits = re.sub(r"\D", "", EXTENSION.sub("", number))
    return digits[-DIGITS_THAT_TELL:] if len(digits) >= DIGITS_THAT_TELL else ""


def reasons(one: Card, other: Card) -> tuple[str, ...]:
    """Why two cards may be one person's; nothing where the names differ or nothing else is shared."""
    if not name_key(one.name) or name_key(one.name) != name_key(other.name):
        return ()
    shared = (
        ("the same telephone number", telephone_key(one.telephone), telephone_key(other.telephone)),
        ("the same e-mail address", one.email.strip().casefold(), other.email.strip().casefold()),
        ("the same address", " ".join(_words(one.address)), " ".join(_words(other.address))),
    )
    return tuple(words for words, left, right in shared if left and left == right)


def shared(one: Card, other: Card) -> tuple[str, ...]:
    """What two cards have in common of name, telephone and e-mail; each alone is worth a question."""
    alike = (
        ("name", name_key(one.name), name_key(other.name)),
        ("telephone number", telephone_key(one.telephone), telephone_key(other.telephone)),
        ("e-mail address", one.email.strip().casefold(), other.email.strip().casefold()),
    )
    return tuple(words for words, left, right in alike if left and left == right)


def likely_doubles(cards: Iterable[Card]) -> list[Pair]:
    """Every pair worth a look, the newest card first. Cards are held against their namesakes alone."""
    namesakes = defaultdict(list)
    for card in cards:
        namesakes[name_key(card.name)].append(card)
    pairs = []
    for group in namesakes.values():
        ordered = sorted(group, key=lambda card: card.key)
        pairs += [
            Pair(older.key, newer.key, why)
            for place, newer in enumerate(ordered)
            for older in ordered[:place]
            if (why := reasons(older, newer))
        ]
    return sorted(pairs, key=lambda pair: (-pair.newer, -pair.older))


def _words(text: str) -> list[str]:
    plain = unicodedata.normalize("NFKD", text.casefold())
    bare = "".join(letter for letter in plain if not unicodedata.combining(letter))
    return re.findall(r"[^\W_]+", bare.replace("'", "").replace("’", ""))
