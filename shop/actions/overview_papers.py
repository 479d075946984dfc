"""The stock on a few sheets: for visitors what stands in the window, for us where each is and its work."""

from collections.abc import Iterable
from dataclasses import replace
from datetime import date

from django.db.models import prefetch_related_objects

from instruments.calc.exact import exact, plain
from instruments.documents.content import Fact, Photo
from instruments.drawings.instrument_picture import instrument_drawing
from instruments.models import Instrument
from instruments.pictures import DECODING_FAILS, reduced_jpeg
from instruments.states import Kind
from instruments.templatetags.drawings import subject_of
from shop.actions.papers import print_photo, shop_party
from shop.costs import TrueCost, true_costs
from shop.documents.overview import Entry, Overview, build_overview
from shop.models import ShopProfile
from shop.stock import state_words
from workorders.currency import in_words, price_in_words

SIDE_PX = 640  # 40 mm at 400 dots to the inch
FOR_VISITORS = "What stands in the window today. Dates are given with how we know them."
FOR_US = "Where each stands and what it waits for."


def overview_of(instruments: list[Instrument], *, on: date, is_ours: bool, with_costs: bool) -> bytes:
    """`instruments` as `stock_with_state` gives them; costs only on the sheets that are for us."""
    prefetch_related_objects(instruments, "photos")
    costs = true_costs(instruments, on=on) if is_ours and with_costs else {}
    overview = Overview(
        shop=shop_party(ShopProfile.current()),
        title="Our stock" if is_ours else "Pianos to see and try",
        note=FOR_US if is_ours else FOR_VISITORS,
        printed_on=on,
        entries=tuple(_entry(each, is_ours=is_ours, cost=costs.get(each.pk)) for each in instruments),
        is_ours=is_ours,
    )
    return build_overview(overview)


def _entry(instrument: Instrument, *, is_ours: bool, cost: TrueCost | None) -> Entry:
    photo = _photo(instrument, is_ours=is_ours)
    facts = [*_public_facts(instrument), *(_our_facts(instrument, cost) if is_ours else [])]
    price = instrument.price_now
    return Entry(
        stock_number=instrument.stock_number,
        maker=instrument.maker_name,
        sentence=instrument.sentence,
        price=price_in_words(price) if price is not None else "no price yet",
        state=state_words(instrument) or ("Not in the window" if is_ours else ""),
        facts=tuple(facts),
        photo=photo,
        drawing=None if photo else instrument_drawing(subject_of(instrument)),
    )


def _public_facts(instrument: Instrument) -> Iterable[Fact]:
    basis = "as told to us" if instrument.made_is_told else instrument.get_made_basis_display()
    made = instrument.made_words
    yield Fact("Made", made[:1].upper() + made[1:], basis if instrument.made else "")
    is_tall = instrument.kind == Kind.UPRIGHT
    size = instrument.height_cm if is_tall else instrument.length_cm
    yield Fact("Height" if is_tall else "Length", f"{plain(exact(size))} cm" if size else "not measured")
    count = f"{instrument.key_count} keys"
    yield Fact("Compass", count, instrument.compass_words.removeprefix(f"{count}, "))


def _our_facts(instrument: Instrument, cost: TrueCost | None) -> Iterable[Fact]:
    yield Fact("Where", instrument.get_place_display(), instrument.place_note)
    yield Fact("Work", "open" if instrument.has_open_work else "none open")
    if cost:
        paid = cost.purchase_minor
        yield Fact("Paid", in_words(paid) if paid is not None else "not on file")
        yield Fact("Cost so far", in_words(cost.total_minor))


def _photo(instrument: Instrument, *, is_ours: bool) -> Photo | None:
    """The first, or the first that the public may see, small enough for a page of six."""
    kept = [each for each in instrument.photos.all() if not each.removed_at and (is_ours or each.is_public)]
    printed = print_photo(kept[0]) if kept else None
    if printed is None:
        return None
    try:
        return replace(printed, jpeg=reduced_jpeg(printed.read(), side=SIDE_PX))
    except DECODING_FAILS:
        return printed
