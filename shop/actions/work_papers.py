"""Papers of work for customers: the quote they approve, the receipt, the paper their piano goes home with."""

from collections.abc import Mapping, Sequence
from datetime import date

from instruments.calc.exact import plain
from instruments.documents.content import ConditionLine, DoneItem, Fact
from instruments.models import Instrument
from instruments.states import Condition
from instruments.walks import in_order_of_the_walk
from shop.actions.papers import person_party, print_photos, shop_party
from shop.commissions import Standing, curve_wished, touch_words
from shop.documents.taken_in_paper import TakenInPaper, build_taken_in_paper
from shop.documents.work_quote import WishLine, WorkQuote, build_work_quote
from shop.models import ShopProfile, TakenIn, Wish
from shop.showing import public_facts
from workorders.currency import in_words
from workorders.summary import work_done_on, work_left_on

FACTS_SHOWN = {"Height", "Length", "Construction", "Key tops"}
MOST_PHOTOS = 4
MOST_LINES = 40


def quote_paper_of(
    standing: Standing,
    *,
    version: int,
    wishes: Sequence[Mapping],
    valid_until: date,
    deposit_minor: int = 0,
    extras_cap_minor: int = 0,
    note: str = "",
    on: date,
) -> bytes:
    """The PDF of the next version. Takes a while: never inside a transaction."""
    commission = standing.commission
    instrument = commission.order.instrument
    wished = [Wish(**fields) for fields in wishes]
    quote = WorkQuote(
        number=commission.number,
        version=version,
        title=commission.order.title,
        issued_on=on,
        valid_until=valid_until,
        shop=shop_party(ShopProfile.current()),
        customer=person_party(commission.person),
        instrument=f"{instrument.maker_name}, {instrument.stock_number}",
        facts=instrument_facts(instrument),
        wishes=tuple(_line(wish, instrument) for wish in wished),
        total=in_words(sum(wish.price_minor for wish in wished)),
        deposit=in_words(deposit_minor) if deposit_minor else "",
        extras_cap=in_words(extras_cap_minor) if extras_cap_minor else "",
        paid=in_words(standing.paid_minor) if standing.paid_minor else "",
        note=note,
        changed=changes_since(standing, wished),
        is_own_instrument=commission.taken_in is not None,
    )
    return build_work_quote(quote)


def changes_since(standing: Standing, wished: Sequence[Wish]) -> tuple[str, ...]:
    """What differs from the version before, in sentences."""
    if standing.present is None:
        return ()
    before = {wish.words: wish.price_minor for wish in standing.present.wishes.all()}
    now = {wish.words: wish.price_minor for wish in wished}
    new = [f"New: {words}, {in_words(price)}." for words, price in now.items() if words not in before]
    gone = [f"Left out: {words}." for words in before if words not in now]
    dearer = [
        f"{words}: {in_words(price)} in place of {in_words(before[words])}."
        for words, price in now.items()
        if words in before and before[words] != price
    ]
    return (*new, *dearer, *gone)


def receipt_of(taken_in: TakenIn) -> bytes:
    instrument = taken_in.instrument
    return build_taken_in_paper(
        TakenInPaper(
            **_both(taken_in),
            dated=taken_in.taken_in_on,
            examined=_examined(taken_in),
            terms=taken_in.terms,
            until=taken_in.until,
            photos=print_photos(instrument.photos.kept(), MOST_PHOTOS),
        )
    )


def hand_back_paper_of(taken_in: TakenIn, *, on: date) -> bytes:
    """What was done since it came in, what was left, and what was done at earlier visits."""
    instrument, day = taken_in.instrument, taken_in.handed_back_on or on
    done = work_done_on(instrument)
    now = [each for each in done if taken_in.taken_in_on <= each.closed_on <= day]
    before = [each for each in done if each.closed_on < taken_in.taken_in_on]
    limits = [f"{each.name}, accepted all the same. {each.limit}" for each in now if each.limit]
    left = [f"{each.name}: {each.reason}" for each in work_left_on(instrument)]
    return build_taken_in_paper(
        TakenInPaper(
            **_both(taken_in),
            dated=day,
            handed_back_on=day,
            handed_back_to=taken_in.handed_back_to or taken_in.person.name,
            handed_back_note=taken_in.handed_back_note,
            done=tuple(
                DoneItem(f"{each.name}: {each.result}", each.closed_on, each.measured)
                for each in now[:MOST_LINES]
            ),
            limits=tuple([*limits, *left][:MOST_LINES]),
            earlier=tuple(f"{each.closed_on:%-d %B %Y}: {each.name}" for each in before[-MOST_LINES:]),
        )
    )


def instrument_facts(instrument: Instrument) -> tuple[Fact, ...]:
    """Enough to tell it from every other."""
    further = [fact for fact in public_facts(instrument) if fact.label in FACTS_SHOWN]
    facts = [
        Fact("Maker", instrument.maker_name),
        Fact("Serial", instrument.serial or "none found", instrument.serial_read_at),
        Fact("Made", instrument.made_words, instrument.made_basis_words if instrument.made else ""),
        Fact("Number", instrument.stock_number),
        Fact("Compass", instrument.compass_words),
        *(Fact(fact.label, fact.value, fact.basis) for fact in further),
    ]
    return tuple(facts)


def _line(wish: Wish, instrument: Instrument) -> WishLine:
    note = ""
    if curve := curve_wished([wish], instrument):
        weights = " / ".join(plain(grams) for grams in (curve.bass_g, curve.middle_g, curve.treble_g))
        within = plain(curve.tolerance_g)
        note = f"{touch_words(wish)}: {weights} g down in bass, middle and treble, within {within} g."
    return WishLine(
        words=wish.words,
        amount=in_words(wish.price_minor),
        note=note,
        is_irreversible=wish.is_irreversible,
        caution=wish.caution,
    )


def _both(taken_in: TakenIn) -> dict:
    instrument = taken_in.instrument
    return {
        "number": taken_in.number,
        "shop": shop_party(ShopProfile.current()),
        "customer": person_party(taken_in.person),
        "instrument": f"{instrument.maker_name}, {instrument.stock_number}",
        "facts": instrument_facts(instrument),
        "condition": taken_in.condition,
        "accessories": taken_in.accessories,
        "taken_in_on": taken_in.taken_in_on,
    }


def _examined(taken_in: TakenIn) -> tuple[ConditionLine, ...]:
    if taken_in.report is None:
        return ()
    findings = in_order_of_the_walk(taken_in.report.findings.select_related("found_by"))
    return tuple(
        ConditionLine(finding.get_part_display(), finding.get_condition_display(), finding.note)
        for finding in findings
        if finding.condition != Condition.NOT_EXAMINED
    )
