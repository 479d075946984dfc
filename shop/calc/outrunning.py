"""Where a sentence says more than what is on file: a firmer year, a closer touch, another price.

What each is held against comes as plain values. All of it is a caution and never a refusal: a heuristic reads
words, not meaning. Which words count as a hedge is common practice, no source.
"""

import re
from collections.abc import Collection, Iterable
from dataclasses import dataclass
from decimal import Decimal

HEDGES = (
    *("about", "around", "circa", "c", "ca", "roughly", "probably", "perhaps", "possibly", "maybe"),
    *("said", "told", "believed", "between", "before", "after"),
)
_YEAR = re.compile(r"(?<![\d.,£$€/-])(1[6-9]\d\d|20[0-4]\d)(?!\d|[.,/]\d|\s?(?:g|cm|kg|mm|Hz|keys)\b)")
_MAKING = re.compile(
    r"\b(?:made|built|dates?|dated|dating|manufactured)\b"
    r"|\b(?:piano|upright|grand|square|instrument)\W+(?:of|from)\b",
    re.IGNORECASE,
)
_TOUCH = re.compile(
    r"(?:within|inside|under|less than|±|\+/-|plus or minus)\s*(\d+(?:[.,]\d+)?|half|one|two|three)"
    r"\s*(?:a\s+)?(?:g\b|grams?\b|grammes?\b)",
    re.IGNORECASE,
)
_IN_WORDS = {"half": Decimal("0.5"), "one": Decimal(1), "two": Decimal(2), "three": Decimal(3)}
_SUM = re.compile(r"[£$€]\s?(\d[\d,]*(?:\.\d\d)?)")
_GUARANTEED = re.compile(r"\b(?:guaranteed?|guarantees|warrant(?:y|ied|ed)|money[\s-]back)\b", re.IGNORECASE)
_IVORY = re.compile(r"\bivor(?:y|ies)\b", re.IGNORECASE)
_NOT = re.compile(r"\b(?:no|not|without|never|un|free of|for)[\s-]+(?:\w+\s+)?$", re.IGNORECASE)


@dataclass(frozen=True)
class Dating:
    """What the record says of when it was made: the years it may be, and the words for it."""

    first_year: int | None = None
    last_year: int | None = None
    words: str = ""
    is_firm: bool = False  # one year, not hedged, and not merely told


@dataclass(frozen=True)
class Evidence:
    dating: Dating = Dating()
    tolerance_g: Decimal | None = None  # of the last weigh-off after work; None where there is none
    inside: int = 0
    weighed: int = 0
    price: str = ""
    has_guarantee: bool = False
    ivory_missing: str = ""  # why ivory may not be said of it
    known_years: Collection[int] = ()  # said by some record, of whatever it may be


def outruns(sentence: str, evidence: Evidence, *, is_headline: bool = False) -> list[str]:
    """Why a sentence in somebody's own words says more than what is on file; [] where it does not."""
    return [
        *_years(sentence, evidence, is_headline),
        *_touch(sentence, evidence),
        *_price(sentence, evidence.price),
        *_guarantee(sentence, evidence.has_guarantee),
        *_ivory(sentence, evidence.ivory_missing),
    ]


def _years(sentence: str, evidence: Evidence, is_headline: bool) -> Iterable[str]:
    dating = evidence.dating
    for match in _YEAR.finditer(sentence):
        year, before = int(match.group()), sentence[: match.start()]
        if is_headline or _speaks_of_making(before):
            if not dating.words:
                yield f"“{year}”: no date of making is on file."
            elif not _may_be(dating, year):
                yield f"“{year}” is not what is on file: {dating.words}."
            elif not dating.is_firm and not _is_hedged(before):
                yield f"“{year}” is firmer than what is on file: {dating.words}."
        elif year not in evidence.known_years:
            yield f"“{year}”: no record gives that year."


def _speaks_of_making(before: str) -> bool:
    return bool(_MAKING.search(" ".join(before.split()[-4:])))


def _may_be(dating: Dating, year: int) -> bool:
    return (dating.first_year or year) <= year <= (dating.last_year or year)


def _is_hedged(before: str) -> bool:
    near = re.findall(r"[^\W\d_]+", before.casefold())[-7:]
    return any(word in HEDGES for word in near)


def _touch(sentence: str, evidence: Evidence) -> Iterable[str]:
    for match in _TOUCH.finditer(sentence):
        said = match.group(1).casefold()
        grams = _IN_WORDS.get(said) or Decimal(said.replace(",", "."))
        if evidence.tolerance_g is None:
            yield f"“{match.group()}”: no weigh-off after work is on file."
        elif grams < evidence.tolerance_g or evidence.inside < evidence.weighed:
            keys = f"{evidence.inside} of {evidence.weighed} keys"
            yield f"“{match.group()}”: the last weigh-off has {keys} within {evidence.tolerance_g} g."


def _price(sentence: str, price: str) -> Iterable[str]:
    asked = _SUM.search(price)
    for match in _SUM.finditer(sentence):
        if asked is None or _figure(match) != _figure(asked):
            asking = f", which is {price}" if price else ": none is set"
            yield f"“{match.group()}” is not the asking price{asking}."


def _figure(match: re.Match) -> Decimal:
    return Decimal(match.group(1).replace(",", ""))


def _guarantee(sentence: str, has_guarantee: bool) -> Iterable[str]:
    for match in _GUARANTEED.finditer(sentence):
        if not has_guarantee and not _NOT.search(sentence[: match.start()]):
            yield f"“{match.group()}”: the shop's terms say nothing of a guarantee."


def _ivory(sentence: str, missing: str) -> Iterable[str]:
    """A colour is none: "ivory white", "ivory-coloured"; and "no ivory" is no claim."""
    for match in _IVORY.finditer(sentence):
        is_colour = re.match(r"[\s-]+(?:colou?r|white|tone|shade)", sentence[match.end() :], re.IGNORECASE)
        if missing and not is_colour and not _NOT.search(sentence[: match.start()]):
            yield f"“{match.group()}”: {missing}"
