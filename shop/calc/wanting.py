"""Whether what is offered is what somebody looks for: what speaks for it, what against, what is still to ask.

Common practice, no source: names and words are held against each other word by word without accents or case;
nothing is refused for what nobody has asked or measured yet; and there is no score, only reasons.
"""

import unicodedata
from collections.abc import Callable, Iterator
from dataclasses import dataclass
from datetime import date
from decimal import Decimal
from functools import lru_cache

ALL_MUST = frozenset({"maker", "kind", "size", "keys", "budget"})
# What a piano is, against what it costs, where it stands and when it is ready: everything cheap would match.
TELLING = frozenset({"maker", "kind", "size", "keys", "touch", "tone", "finish"})


@dataclass(frozen=True)
class Wish:
    """What is looked for; what is left out does not matter. Centimetres, grams, and minor units of money.

    `maker` may name several with commas between; `must` holds the points that may not be otherwise.
    """

    maker: str = ""
    kind: str = ""
    least_cm: int | None = None
    most_cm: int | None = None
    least_keys: int | None = None
    most_minor: int | None = None
    touch: str = ""  # lighter, usual or heavier than the shop's usual
    touch_within_g: Decimal = Decimal(3)
    tone: str = ""
    finish: str = ""
    place: str = ""
    until: date | None = None
    must: frozenset[str] = ALL_MUST


@dataclass(frozen=True)
class Offered:
    """What is known of an instrument that is offered or has come in; None and "" are not known."""

    maker: str = ""
    kind: str = ""
    size_cm: Decimal | None = None
    keys: int | None = None
    price_minor: int | None = None
    touch_off_g: Decimal | None = None  # its mean down-weight less the shop's usual; negative is lighter
    said: str = ""  # what is said of it in words
    finish: str = ""
    stands_at: str = ""
    is_ready: bool = False


@dataclass(frozen=True)
class Match:
    """Why it fits, what speaks against it, and what has to be asked before it is sure."""

    reasons: tuple[str, ...]
    to_ask: tuple[str, ...]
    against: tuple[str, ...] = ()

    @property
    def order(self) -> tuple[int, int, int]:
        """What least speaks against comes first, then what most speaks for, then what is least unsure."""
        return len(self.against), -len(self.reasons), len(self.to_ask)


@dataclass(frozen=True)
class Point:
    """One thing asked for: right, wrong, or not known (None), in words. `name` is a point of the wish."""

    name: str
    is_right: bool | None
    words: str


def match(
    wish: Wish, offered: Offered, *, on: date | None = None, money: Callable[[int], str] | None = None
) -> Match | None:
    """None where a point that may not be otherwise is known to be wrong, where nothing telling speaks for it,
    or where more speaks against than for.

    `on` is today; `money` puts an amount into words.
    """
    points = []
    for point in _points(wish, offered, on=on, money=money or plain_money):
        if point.is_right is False and point.name in wish.must:
            return None  # most pairs end here, at the first point or two
        points.append(point)
    told = {side: tuple(p.words for p in points if p.is_right is side) for side in (True, False, None)}
    if not any(point.is_right and point.name in TELLING for point in points):
        return None
    if len(told[False]) > len(told[True]):
        return None
    return Match(told[True], told[None], told[False])


def may_fit(wish: Wish, maker: str, kind: str) -> bool:
    """False where a piano of this maker and kind cannot answer to the wish, whatever else it is."""
    named = Offered(maker=maker, kind=kind)
    points = (*_maker(wish, named), *_kind(wish, named))
    return not any(point.is_right is False and point.name in wish.must for point in points)


def points_of(
    wish: Wish, offered: Offered, *, on: date | None, money: Callable[[int], str]
) -> tuple[Point, ...]:
    """Every point that was asked for, in the order in which people ask."""
    return tuple(_points(wish, offered, on=on, money=money))


def _points(wish: Wish, offered: Offered, *, on: date | None, money: Callable[[int], str]) -> Iterator[Point]:
    yield from _maker(wish, offered)
    yield from _kind(wish, offered)
    yield from _size(wish, offered)
    yield from _keys(wish, offered)
    yield from _touch(wish, offered)
    yield from _tone(wish, offered)
    yield from _finish(wish, offered)
    yield from _price(wish, offered, money)
    yield from _place(wish, offered)
    yield from _day(wish, offered, on)


def plain_money(minor: int) -> str:
    return f"{minor // 100:,}.{minor % 100:02d}"


def _maker(wish: Wish, offered: Offered):
    names = [words for name in wish.maker.split(",") if (words := _words(name))]
    if not names:
        return
    has = _words(offered.maker)
    if not has - {"unknown"}:
        yield Point("maker", None, "who made it")
    elif any(words <= has for words in names):
        yield Point("maker", True, f"{offered.maker}: the maker asked for")
    else:
        yield Point("maker", False, f"{offered.maker}: not the maker asked for")


def _kind(wish: Wish, offered: Offered):
    if not wish.kind:
        return
    if not offered.kind:
        yield Point("kind", None, "its kind")
    elif wish.kind == offered.kind:
        yield Point("kind", True, f"{_a(wish.kind)}, as asked")
    else:
        yield Point("kind", False, f"{_a(offered.kind)}, and not {_a(wish.kind)}")


def _a(noun: str) -> str:
    return f"{'an' if noun[0] in 'aeiou' else 'a'} {noun}"


def _size(wish: Wish, offered: Offered):
    low, high = wish.least_cm, wish.most_cm
    if low is None and high is None:
        return
    measure = "height" if offered.kind == "upright" else "length" if offered.kind else "size"
    if offered.size_cm is None:
        yield Point("size", None, "how high or long it is")
        return
    size = f"{offered.size_cm.normalize():f}"
    if high is not None and offered.size_cm > high:
        over = f"{(offered.size_cm - high).normalize():f}"
        yield Point("size", False, f"{measure} {size} cm, {over} cm over {high}")
    elif low is not None and offered.size_cm < low:
        under = f"{(low - offered.size_cm).normalize():f}"
        yield Point("size", False, f"{measure} {size} cm, {under} cm under {low}")
    else:
        fits = f"up to {high}" if low is None else f"from {low}" if high is None else f"{low} to {high}"
        yield Point("size", True, f"{measure} {size} cm fits {fits}")


def _keys(wish: Wish, offered: Offered):
    if wish.least_keys is None:
        return
    if offered.keys is None:
        yield Point("keys", None, "how many keys it has")
    elif offered.keys >= wish.least_keys:
        yield Point("keys", True, f"{offered.keys} keys")
    else:
        yield Point("keys", False, f"{offered.keys} keys, fewer than {wish.least_keys}")


def _touch(wish: Wish, offered: Offered):
    if not wish.touch:
        return
    off, within = offered.touch_off_g, wish.touch_within_g
    if off is None:
        yield Point("touch", None, "its touch: not measured")
        return
    is_right = {
        "lighter": -within <= off < 0,
        "usual": abs(off) <= within,
        "heavier": 0 < off <= within,
    }[wish.touch]
    yield Point("touch", is_right, f"touch {touch_words(off)}")


def touch_words(off_g: Decimal) -> str:
    if off_g == 0:
        return "just as our usual"
    return f"{abs(off_g):.1f} g {'lighter' if off_g < 0 else 'heavier'} than our usual"


def _tone(wish: Wish, offered: Offered):
    said = _words(offered.said)
    for word in dict.fromkeys(wish.tone.replace(",", " ").split()):
        if not (parts := _words(word)):
            continue
        is_said = parts <= said
        yield Point(
            "tone", True if is_said else None, f"{'said of it' if is_said else 'whether it is'}: {word}"
        )


def _finish(wish: Wish, offered: Offered):
    if not (asked := _words(wish.finish)):
        return
    if not (has := _words(offered.finish)):
        yield Point("finish", None, "its finish")
    elif asked <= has:
        yield Point("finish", True, f"finish: {offered.finish}")
    else:
        yield Point("finish", False, f"finish: {offered.finish}, and not {wish.finish}")


def _price(wish: Wish, offered: Offered, money: Callable[[int], str]):
    if wish.most_minor is None:
        return
    if offered.price_minor is None:
        yield Point("budget", None, "its price")
    elif offered.price_minor <= wish.most_minor:
        yield Point("budget", True, f"{money(offered.price_minor)}, within the price named")
    else:
        yield Point("budget", False, f"{money(offered.price_minor - wish.most_minor)} over budget")


def _place(wish: Wish, offered: Offered):
    """Only ever for it: a piano can be carried, but one that stands near is carried more cheaply."""
    if _words(wish.place) & _words(offered.stands_at):
        yield Point("place", True, f"it stands at {offered.stands_at}")


def _day(wish: Wish, offered: Offered, on: date | None):
    if wish.until is None or on is None:
        return
    day = f"{wish.until:%-d %B %Y}"
    if wish.until < on:
        yield Point("day", False, f"wanted by {day}, which has passed")
    elif offered.is_ready:
        yield Point("day", True, f"ready now, wanted by {day}")
    else:
        yield Point("day", None, f"whether it is ready by {day}")


@lru_cache(maxsize=5_000)
def _words(text: str) -> frozenset[str]:
    plain = unicodedata.normalize("NFKD", text).casefold()
    letters = "".join(sign if sign.isalnum() else " " for sign in plain if not unicodedata.combining(sign))
    return frozenset(letters.split())
