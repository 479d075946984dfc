"""What the guarantee of a sale says, in plain words, from what was agreed with it."""

from datetime import date

from instruments.documents.dates import day_in_words
from shop.actions.papers import paper_facts, person_party, shop_party
from shop.after_care import CareStanding, Guaranteed
from shop.calc.after_care import CareTerms
from shop.care_problems import IN_ADDITION
from shop.care_states import RunsFrom
from shop.documents.guarantee import CoveredLine, GuaranteePaper
from shop.models import ShopProfile

CARD_FACTS = {"Made", "Serial", "Compass", "Key tops"}
HOW_TO_CLAIM = (
    "Tell us as soon as you notice it, in your own words: which notes, since when, and what the air of the "
    "room is like. We come to look at it, or say why not. Nobody has to send a piano anywhere to ask."
)


def guarantee_of(standing: CareStanding, *, on: date) -> GuaranteePaper:
    sale, terms = standing.sale, standing.terms
    profile = ShopProfile.current()
    return GuaranteePaper(
        number=sale.number,
        given_on=on,
        shop=shop_party(profile),
        buyer=person_party(sale.person),
        instrument=f"{sale.instrument.maker_name}, stock {sale.instrument.stock_number}",
        facts=tuple(fact for fact in paper_facts(sale.instrument) if fact.label in CARD_FACTS),
        begins=_begins(standing),
        covered=tuple(_line(each, standing) for each in standing.guaranteed if each.until),
        not_covered=tuple(
            part.name + (f" ({part.note.rstrip('.')})" if part.note else "") for part in terms.not_covered
        ),
        needs=tuple(needs_words(terms)),
        excluded=terms.excluded,
        tunings=tuple(tuning_words(terms)),
        how_to_claim=HOW_TO_CLAIM,
        caution=IN_ADDITION,
        special=terms.special,
    )


def _begins(standing: CareStanding) -> str:
    if standing.terms.runs_from == RunsFrom.SALE:
        return f"It runs from the day of the sale, {day_in_words(standing.starts_on)}."
    if standing.delivered_on:
        return f"It runs from the day of delivery, {day_in_words(standing.starts_on)}."
    return "It runs from the day of delivery, which you and we write here: ____________________"


def _line(each: Guaranteed, standing: CareStanding) -> CoveredLine:
    from_sale = standing.terms.runs_from == RunsFrom.SALE
    is_known = from_sale or standing.delivered_on is not None
    until = day_in_words(each.until) if is_known else "so long from delivery"
    return CoveredLine(each.part.name, months_words(each.part.months), until, each.part.note)


def months_words(months: int) -> str:
    if months % 12 == 0:
        return f"{months // 12} year{'s' * (months > 12)}"
    return f"{months} month{'s' * (months > 1)}"


def needs_words(terms: CareTerms) -> list[str]:
    words = []
    if terms.tunings_a_year:
        times = {1: "once", 2: "twice"}.get(terms.tunings_a_year, f"{terms.tunings_a_year} times")
        receipts = ", and the receipts are kept" if terms.keeps_receipts else ""
        words.append(f"It is tuned at least {times} a year by a qualified tuner, ours or another{receipts}.")
    words.append(
        f"The air of its room stays between {terms.humidity_low} and {terms.humidity_high} % relative "
        "humidity, away from radiators, stoves, sun and underfloor heating."
    )
    if terms.asks_first:
        words.append("We are asked before others repair what is in this guarantee. Tuning needs no asking.")
    return words


def tuning_words(terms: CareTerms) -> list[str]:
    words = []
    if terms.included_tunings:
        count = terms.included_tunings
        first = f"The first, {terms.first_from_days} to {terms.first_to_days} days after delivery"
        words.append(
            f"{count} tuning{'s are' if count > 1 else ' is'} in the price. {first}, when it has settled; "
            "until then note what troubles you."
        )
    words.append(
        f"We advise {terms.first_year} tunings in the first year and {terms.later} a year after that."
    )
    return words
