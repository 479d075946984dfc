"""What the papers of the window say: the card on an instrument, and the labels on any."""

from collections.abc import Iterable
from datetime import date

from instruments.calc.evidence.standing import SUPPORTED
from instruments.calc.exact import exact, plain
from instruments.calc.wording import names_in, sentence_for
from instruments.models import Instrument
from instruments.standings import saying_of, weighed_statements
from instruments.states import Kind
from shop.calc.strongest import strongest
from shop.documents.window_card import WindowCard, build_window_card
from shop.facts import build_words, case_words, clearance_words, touch_after_work
from shop.models import AskingPrice, Listing, ShopProfile
from shop.private_names import fit_for_the_public, private_names
from workorders.currency import price_in_words
from workorders.summary import work_done_on

LONGEST_BASIS = 52
# How a statement is known, strongest first; what was only told or inferred is for the page, not for the card.
SHOWN_GRADES = ("measured", "document", "mark", "seen")


def window_card_of(listing: Listing, *, address: str, on: date) -> bytes:
    """The A5 card as the record stands today; `address`: where the code leads, nothing for no code."""
    profile, instrument = ShopProfile.current(), listing.instrument
    price: AskingPrice | None = instrument.asking_prices.first()
    card = WindowCard(
        shop_name=profile.name,
        telephone=profile.telephone,
        maker=instrument.maker_name,
        what=what_it_is(instrument),
        made=_made(instrument),
        made_basis=short_basis(instrument),
        facts=tuple(strongest_facts(instrument)),
        price=price_in_words(price.amount_minor) if price else "Price on asking",
        stock_number=instrument.stock_number,
        printed_on=on,
        public_address=address,
    )
    return build_window_card(card)


def what_it_is(instrument: Instrument) -> str:
    """Kind and height, or length, in one line."""
    noun = {Kind.UPRIGHT: "upright", Kind.GRAND: "grand", Kind.SQUARE: "square piano"}[instrument.kind]
    words = f"{instrument.get_stringing_display()} {noun}".strip()
    tall = instrument.kind == Kind.UPRIGHT
    size = instrument.height_cm if tall else instrument.length_cm
    measured = f"{plain(exact(size))} cm {'tall' if tall else 'long'}" if size else "not measured yet"
    return f"{words[:1].upper()}{words[1:]}, {measured}"


def _made(instrument: Instrument) -> str:
    words = instrument.made_words
    if instrument.made and instrument.made_is_told:
        return f"Said to be of {words}"
    return f"{words[:1].upper()}{words[1:]}"


def short_basis(instrument: Instrument) -> str:
    """How the date is known, in few words: the note with it only where it is short."""
    if not instrument.made:
        return ""
    if instrument.made_is_told:
        return "as told to us"
    words = instrument.made_basis_words
    return words if len(words) <= LONGEST_BASIS else instrument.get_made_basis_display()


def strongest_facts(instrument: Instrument, *, most: int = 3) -> list[str]:
    """What stands of it, and names nobody who sold it or told of it."""
    names = private_names(instrument)

    def unnamed(facts: Iterable[str]) -> list[str]:
        return [fact for fact in facts if not names_in(fact, names)]

    compass = instrument.compass_words
    plain = [build_words(instrument), compass[:1].upper() + compass[1:], case_words(instrument)]
    return strongest(
        measured=_what_was_measured(instrument),
        stood=unnamed(_what_stood(instrument)),
        plain=unnamed([*plain, clearance_words(instrument), *_what_was_done(instrument)]),
        most=most,
    )


def _what_was_measured(instrument: Instrument) -> list[str]:
    touch = touch_after_work(instrument)
    if touch is None:
        return []
    counted = (
        f"All {touch.weighed}" if touch.inside == touch.weighed else f"{touch.inside} of {touch.weighed}"
    )
    return [f"{counted} keys weighed within {touch.tolerance_g} g of the touch aimed at"]


def _what_was_done(instrument: Instrument) -> list[str]:
    return [work.name for work in work_done_on(instrument) if work.measured and not work.limit]


def _what_stood(instrument: Instrument) -> list[str]:
    """Public statements that bore testing, worded as strongly as they are known."""
    fit = fit_for_the_public(instrument, weighed_statements(instrument))
    stood = [each for each in fit if each.standing.name == SUPPORTED and each.statement.grade in SHOWN_GRADES]
    stood.sort(key=lambda each: SHOWN_GRADES.index(each.statement.grade))
    return [said.text for each in stood if (said := sentence_for(saying_of(each)))]
