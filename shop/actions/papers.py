"""From the record to the papers: what each document says, gathered as plain data, and what is kept of it."""

import hashlib
import logging
from contextlib import AbstractContextManager
from datetime import date

from django.core.files.base import ContentFile

from instruments.documents.content import DoneItem, Fact, Party, Photo
from instruments.drawings.keyboard import keyboard_drawing
from instruments.kept_files import StoredFile, stored_file
from instruments.models import Instrument
from shop.actions.credit_terms import credit_terms_in_force
from shop.calc.sheet_lines import dated_line, parted
from shop.credit_words import offer_words
from shop.documents.listing_sheet import ListingSheet, build_listing_sheet
from shop.models import Listing, Person, ShopProfile
from shop.showing import public_facts, shown_as_it_stands
from workorders.currency import price_in_words

logger = logging.getLogger(__name__)

MOST_PHOTOS_ON_SHEET = 4


def shop_party(profile: ShopProfile) -> Party:
    contacts = tuple(line for line in (profile.telephone, profile.email) if line)
    return Party(name=profile.name, address=profile.address, contacts=contacts)


def person_party(person: Person) -> Party:
    person = person.standing_card
    contacts = tuple(line for line in (person.telephone, person.email) if line)
    return Party(name=person.name, address=person.address, contacts=contacts)


def our_party() -> Party:
    """The shop as it names itself today, for the papers of the bench."""
    return shop_party(ShopProfile.current())


def stored_paper(stem: str, pdf: bytes) -> AbstractContextManager[StoredFile]:
    """Put a printed paper away before the transaction in which a row takes it."""
    sha256 = hashlib.sha256(pdf).hexdigest()
    return stored_file(f"papers/{stem}-{sha256[:12]}.pdf", ContentFile(pdf), sha256=sha256)


def print_photos(photos, most: int) -> tuple[Photo, ...]:
    return tuple(filter(None, (print_photo(photo) for photo in photos[:most])))


def print_photo(photo) -> Photo | None:
    """The picture for paper; None, and a line in the log, when its file has gone from the store."""
    try:
        with photo.print.open("rb") as kept:
            return Photo(jpeg=kept.read(), caption=photo.caption, alt=photo.words)
    except FileNotFoundError:
        logger.error("The stored file %s is missing.", photo.print.name)
        return None


def sale_sheet_of(listing: Listing, *, on: date) -> bytes:
    """The A4 sale sheet as the record and the shop's words stand today."""
    profile, instrument, words = ShopProfile.current(), listing.instrument, shown_as_it_stands(listing)
    left, not_examined = parted(words.not_done)
    sheet = ListingSheet(
        shop=shop_party(profile),
        maker=instrument.maker_name,
        sentence=words.headline,
        price=price_in_words(words.price_minor),
        stock_number=instrument.stock_number,
        printed_on=on,
        facts=paper_facts(instrument),
        paragraphs=tuple(words.paper or words.body + words.history),
        done=tuple(DoneItem(*dated_line(line)) for line in words.work_done),
        not_done=left,
        faults=tuple(words.faults),
        limits=words.limits,
        not_examined=not_examined,
        compass=instrument.compass_words,
        keyboard=keyboard_drawing(instrument.first_key, instrument.key_count),
        photos=print_photos(words.photos, MOST_PHOTOS_ON_SHEET),
        trial=trial_offer(profile),
        guarantee=profile.guarantee_words,
        delivery=profile.delivery_words,
        cautions=("What is only told is printed as told. A piano is heavy: never lift it alone.",),
        public_address=f"{profile.public_address.rstrip('/')}/{listing.slug}/"
        if profile.public_address
        else "",
    )
    return build_listing_sheet(sheet)


def paper_facts(instrument: Instrument) -> tuple[Fact, ...]:
    return tuple(Fact(fact.label, fact.value, fact.basis) for fact in public_facts(instrument))


def trial_offer(profile: ShopProfile) -> str:
    return (
        f"Pay for it and live with it for up to {profile.trial_days} days. Keep it; or, if it is not the one,"
        f" {offer_words(credit_terms_in_force().rule)}. The terms are agreed in writing first."
    )
