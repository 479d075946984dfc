"""A listing from its first draft to the window and out again."""

from collections.abc import Iterable

from django.db import transaction
from django.utils import timezone
from django.utils.text import slugify

from instruments.actions.history import save_tracked
from instruments.models import Instrument
from instruments.problems import refuse_if_blocked
from shop.calc.drafting import HEADLINES, Draft, Sentence
from shop.calc.tracing import traced
from shop.drafts import drafted
from shop.fingerprints import fingerprint
from shop.models import Listing, Publication
from shop.ownership_problems import ownership_problems
from shop.problems import listing_problems
from shop.showing import shown_as_it_stands
from shop.states import ListingState
from shop.wording_problems import LISTING_WORDS

APART = {*HEADLINES, "history", "page"}


def drafted_words(instrument: Instrument) -> dict[str, str]:
    """The listing's fields as the record alone would write them today."""
    written = drafted(instrument)
    return {
        "headline": written.headline[:160],
        "body": running_text(written.body),
        "history_words": lines_of(written.history),
        "work_done": lines_of(written.work_done),
        "not_done": lines_of(written.not_done),
        "faults": lines_of(written.faults),
        "short_text": running_text(written.short),
        "print_words": running_text(written.paper),
        "social_text": running_text(written.social),
    }


def lines_of(sentences: Iterable[Sentence]) -> str:
    return "\n".join(sentence.text for sentence in sentences)


def running_text(sentences: Iterable[Sentence]) -> str:
    """One paragraph; what somebody told, and an address, each on a line of its own."""
    paragraphs, run = [], []
    for sentence in sentences:
        if sentence.code in APART:
            paragraphs += [" ".join(run), sentence.text]
            run = []
        else:
            run.append(sentence.text)
    return "\n".join(filter(None, [*paragraphs, " ".join(run)]))


@transaction.atomic
def draft_listing(*, instrument: Instrument, by) -> Listing:
    """Write a listing from the record; words that a person wrote before are replaced, and kept in history."""
    Instrument.objects.select_for_update().get(pk=instrument.pk)
    refuse_if_blocked(ownership_problems(instrument))
    listing = Listing.objects.filter(instrument=instrument).first() or Listing(
        instrument=instrument, slug=slug_of(instrument)
    )
    for name, words in drafted_words(instrument).items():
        setattr(listing, name, words)
    save_tracked(listing, by=by, why="Listing drafted from the record")
    return listing


@transaction.atomic
def edit_listing(*, listing: Listing, by, **words) -> Listing:
    listing = _locked(listing)
    for name, text in words.items():
        setattr(listing, name, text)
    save_tracked(listing, by=by, why="Words of the listing edited")
    return listing


@transaction.atomic
def publish_listing(*, listing: Listing, by) -> Publication:
    """Put it in the window and keep for good what was shown. Raises Blocked by `listing_problems`."""
    listing = _locked(listing)
    refuse_if_blocked(listing_problems(listing.instrument))
    listing.state = ListingState.PUBLISHED
    listing.first_published_at = listing.first_published_at or timezone.now()
    save_tracked(listing, by=by, why="Put in the window")
    words = published_words(listing)
    words["sources"] = sources_of(words, drafted(listing.instrument))
    return Publication.objects.create(
        listing=listing, words=words, sha256=fingerprint(words), published_by=by
    )


@transaction.atomic
def withdraw_listing(*, listing: Listing, by) -> Listing:
    listing = _locked(listing)
    listing.state = ListingState.WITHDRAWN
    save_tracked(listing, by=by, why="Taken out of the window")
    return listing


def published_words(listing: Listing) -> dict:
    """What the window shows from now on: without saved lines that are contradicted or name a seller."""
    words = shown_as_it_stands(listing)
    return {
        "headline": words.headline,
        "body": "\n".join(words.body),
        "history_words": "\n".join(words.history),
        "work_done": "\n".join(words.work_done),
        "not_done": "\n".join(words.not_done),
        "faults": "\n".join(words.faults),
        "limits": "\n".join(words.limits),
        "short_text": "\n".join(words.short),
        "print_words": "\n".join(words.paper),
        "social_text": "\n".join(words.social),
        "price_minor": words.price_minor,
        "photos": list(listing.instrument.photos.public().values_list("sha256", flat=True)),
    }


def sources_of(words: dict, written: Draft) -> list[list[str]]:
    """[field, sentence, source, record] of each sentence of `words` that the record says in these words."""
    return [
        [name, each.text, each.rests_on.source, each.rests_on.record]
        for name in LISTING_WORDS
        for each in traced(words[name], written.every)
        if each.rests_on
    ]


def slug_of(instrument: Instrument) -> str:
    """Maker and stock number; a long maker is cut, the number that tells it from others never."""
    number = slugify(instrument.stock_number)
    room = Listing._meta.get_field("slug").max_length - len(number) - 1
    return f"{slugify(instrument.maker_name)[:room]}-{number}".lstrip("-")


def _locked(listing: Listing) -> Listing:
    """As it is now: saved from what somebody read before, it would go back into the window it has left."""
    Instrument.objects.select_for_update().get(pk=listing.instrument_id)
    return Listing.objects.select_related("instrument").get(pk=listing.pk)
