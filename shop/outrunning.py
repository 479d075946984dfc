"""Sentences of a listing in somebody's own words, held against what is on file."""

import re
from dataclasses import dataclass

from instruments.calc import edtf
from instruments.calc.exact import exact
from instruments.models import Instrument
from instruments.problems import Caution, Problem
from instruments.standings import quoted
from instruments.states import Covering
from shop.backing import DATED_BY_EVIDENCE
from shop.calc.drafting import Draft
from shop.calc.outrunning import Dating, Evidence, outruns
from shop.calc.tracing import Traced, traced
from shop.facts import touch_after_work
from shop.models import GuaranteePart, Listing, ShopProfile
from shop.protected import standing_reference
from shop.showing import plainly
from shop.wording_problems import LISTING_WORDS
from workorders.currency import price_in_words

_YEAR = re.compile(r"(?<!\d)(?:1[6-9]\d\d|20[0-4]\d)(?!\d)")
SHORTEST_CLAIM = 12  # of what is kept to ourselves, in characters: shorter words stand in many sentences


@dataclass(frozen=True)
class Judged:
    """A sentence as it stands in a field, what it rests on, and what it says beyond that."""

    name: str
    sentence: Traced
    cautions: tuple[str, ...] = ()


def judged_words(listing: Listing, written: Draft) -> list[Judged]:
    """Every sentence of every version, in the order of the fields."""
    evidence = evidence_of(listing.instrument, written)
    private = _kept_to_ourselves(listing.instrument)
    return [
        Judged(name, each, tuple(_cautions(each, name, evidence, written, private)))
        for name in LISTING_WORDS
        for each in traced(getattr(listing, name), written.every)
    ]


def outrun_cautions(judged: list[Judged]) -> list[Problem]:
    return [
        Caution(f"{label_of(each.name)}: {why}", f"#id_{each.name}")
        for each in judged
        for why in each.cautions
    ]


def label_of(name: str) -> str:
    return str(Listing._meta.get_field(name).verbose_name).capitalize()


def _cautions(each: Traced, name: str, evidence: Evidence, written: Draft, private: list[str]):
    if each.rests_on:
        return
    yield from outruns(each.text, evidence, is_headline=name == "headline")
    if whole := _said_with_its_basis(each.text, written):
        yield f"“{quoted(each.text)}” leaves out how we know it. The record says: {whole}"
    if any(claim in plainly(each.text) for claim in private):
        yield f"“{quoted(each.text)}” says what the record keeps to ourselves."


def _said_with_its_basis(text: str, written: Draft) -> str:
    """The sentence of the record of which this is only a part; "" where there is none."""
    words = plainly(text)
    parts = (each.text for each in written.every if words and words in plainly(each.text))
    return next(parts, "") if len(words.split()) > 1 else ""


def _kept_to_ourselves(instrument: Instrument) -> list[str]:
    texts = instrument.statements.current().filter(is_public=False).values_list("text", flat=True)
    return [words for text in texts if len(words := plainly(text)) >= SHORTEST_CLAIM]


def evidence_of(instrument: Instrument, written: Draft) -> Evidence:
    touch, price = touch_after_work(instrument), instrument.asking_prices.first()
    guaranteed = GuaranteePart.objects.filter(covered=True).exists()
    return Evidence(
        dating=_dating(instrument),
        tolerance_g=exact(touch.tolerance_g) if touch else None,
        inside=touch.inside if touch else 0,
        weighed=touch.weighed if touch else 0,
        price=price_in_words(price.amount_minor) if price else "",
        has_guarantee=guaranteed or bool(ShopProfile.current().guarantee_words.strip()),
        ivory_missing=_ivory_missing(instrument),
        known_years={int(year) for each in written.every for year in _YEAR.findall(each.text)},
    )


def _dating(instrument: Instrument) -> Dating:
    if not instrument.made:
        return Dating()
    first, last = (day and day.year for day in edtf.bounds(instrument.made))
    is_firm = (
        first == last
        and not edtf.is_hedged(instrument.made)
        and instrument.made_basis in DATED_BY_EVIDENCE
        and not instrument.made_is_told
    )
    basis = instrument.made_basis_words
    words = f"{instrument.made_words} ({basis})" if basis else instrument.made_words
    return Dating(first, last, words, is_firm)


def _ivory_missing(instrument: Instrument) -> str:
    if Covering.IVORY not in instrument.coverings:
        return f"the naturals are on file as “{instrument.get_natural_covering_display().lower()}”."
    return "" if standing_reference(instrument) else "no registration that stands is on file."
