"""Whether what is offered is what somebody looks for, and why."""

import unicodedata
from dataclasses import dataclass
from decimal import Decimal


@dataclass(frozen=True)
class Wish:
    """What is looked for; what is left out does not matter. Centimetres, and minor units of money."""

    maker: str = ""
    kind: str = ""
    least_cm: int | None = None
    most_cm: int | None = None
    least_keys: int | None = None
    most_minor: int | None = None


@dataclass(frozen=True)
class Offered:
    """What is known of an instrument that is offered or has come in; None and "" are not known."""

    maker: str = ""
    kind: str = ""
    size_cm: Decimal | None = None
    keys: int | None = None
    price_minor: int | None = None


@dataclass(frozen=True)
class Match:
    """Why it fits, a reason for each point, and what has to be asked before it is sure."""

    reasons: tuple[str, ...]
    to_ask: tuple[str, ...]


def match(wish: Wish, offered: Offered) -> Match | None:
    """None where one point is known to be wrong, or where nothing that is known speaks for it.

    Common practice, no source: names are held against each other word by word without accents or case, and
    a wish is never refused for what nobody has asked yet.
    """
    points = [
        _maker(wish, offered),
        _kind(wish, offered),
        _size(wish, offered),
        _at_least(wish.least_keys, offered.keys),
        _price(wish, offered),
    ]
    if any(is_right is False for is_right, _ in points):
        return None
    reasons = tuple(words for is_right, words in points if is_right)
    # A price alone is no reason: everything cheap would match.
    if not any(is_right for is_right, _ in points[:4]):
        return None
    return Match(reasons, tuple(words for is_right, words in points if is_right is None and words))


NOTHING_ASKED = (None, "")


def _maker(wish: Wish, offered: Offered) -> tuple[bool | None, str]:
    wanted = _words(wish.maker)
    if not wanted:
        return NOTHING_ASKED
    return wanted <= _words(offered.maker), f"{offered.maker}: the maker asked for"


def _kind(wish: Wish, offered: Offered) -> tuple[bool | None, str]:
    if not wish.kind:
        return NOTHING_ASKED
    if not offered.kind:
        return None, "its kind"
    return wish.kind == offered.kind, f"{'an' if wish.kind[0] in 'aeiou' else 'a'} {wish.kind}, as asked"


def _size(wish: Wish, offered: Offered) -> tuple[bool | None, str]:
    if wish.least_cm is None and wish.most_cm is None:
        return NOTHING_ASKED
    if offered.size_cm is None:
        return None, "how high or long it is"
    low, high = wish.least_cm or 0, wish.most_cm or 10_000
    return low <= offered.size_cm <= high, f"{offered.size_cm.normalize():f} cm lies within what was asked"


def _at_least(least: int | None, keys: int | None) -> tuple[bool | None, str]:
    if least is None:
        return NOTHING_ASKED
    if keys is None:
        return None, "how many keys it has"
    return keys >= least, f"{keys} keys"


def _price(wish: Wish, offered: Offered) -> tuple[bool | None, str]:
    if wish.most_minor is None:
        return NOTHING_ASKED
    if offered.price_minor is None:
        return None, "its price"
    return offered.price_minor <= wish.most_minor, "within the price named"


def _words(text: str) -> set[str]:
    plain = unicodedata.normalize("NFKD", text).casefold()
    letters = "".join(sign if sign.isalnum() else " " for sign in plain if not unicodedata.combining(sign))
    return set(letters.split())
