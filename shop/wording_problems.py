"""What is said against the words of a listing. The page prints it; a person changes them, or a new draft."""

from datetime import date

from instruments.calc.wording import loaded_words, names_in
from instruments.problems import Caution, Problem
from instruments.standings import Weighed, quoted, weighed_statements
from shop.backing import backing_of
from shop.calc.tracing import beyond_the_record
from shop.drafts import drafted
from shop.models import Listing
from shop.private_names import private_names

LONG_TEXT = ("headline", "body", "history_words", "work_done", "not_done", "faults")
OTHER_VERSIONS = ("short_text", "print_words", "social_text")
LISTING_WORDS = (*LONG_TEXT, *OTHER_VERSIONS)
WORDS_THAT_PRAISE = ("body", "history_words", "work_done", *OTHER_VERSIONS)  # faults may always be added
MOST_SENTENCES = 2  # named in a caution


def wording_cautions(listing: Listing, *, today: date) -> list[Problem]:
    """Words in a listing that promise more than is agreed, unless what they need stands on file."""
    weighed = weighed_statements(listing.instrument)
    fields = [name for name in LISTING_WORDS if loaded_words(getattr(listing, name))]
    backing = backing_of(listing, today=today, weighed=weighed) if fields else None
    cautions = []
    for name in fields:
        label = _label(name)
        for word in loaded_words(getattr(listing, name), backing.backed):
            missing = backing.missing_for(word)
            cautions.append(Caution(f"{label}, {word.sentence} {missing}".strip(), f"#id_{name}"))
    return [*_naming_words(listing), *_contradicted_words(listing, weighed), *dict.fromkeys(cautions)]


def _label(name: str) -> str:
    return str(Listing._meta.get_field(name).verbose_name).capitalize()


def _naming_words(listing: Listing) -> list[Problem]:
    """Saved words that name a seller or a teller; the page and the papers leave such a line out."""
    names = private_names(listing.instrument)
    return [
        Caution(
            f"{_label(name)}: “{found}” sold it or told of it. No name goes public, so that line is left out "
            "everywhere.",
            f"#id_{name}",
        )
        for name in LISTING_WORDS
        for found in names_in(getattr(listing, name), names)
    ]


def unrecorded_cautions(listing: Listing) -> list[Problem]:
    """Sentences a person wrote that no record says; praise of their own making has to be stood behind."""
    every = drafted(listing.instrument).every
    cautions = []
    for name in WORDS_THAT_PRAISE:
        if own := beyond_the_record(getattr(listing, name), every):
            label = str(Listing._meta.get_field(name).verbose_name).capitalize()
            named = " and ".join(f"“{quoted(sentence)}”" for sentence in own[:MOST_SENTENCES])
            more = f" and {len(own) - MOST_SENTENCES} more" if len(own) > MOST_SENTENCES else ""
            cautions.append(
                Caution(
                    f"{label}: no record says {named}{more}. Leave out what the shop cannot stand behind, or "
                    "write it down as a statement and draft again.",
                    f"#id_{name}",
                )
            )
    return cautions


def _contradicted_words(listing: Listing, weighed: list[Weighed]) -> list[Problem]:
    """Saved words that still tell what was contradicted since; only a person or a new draft changes them."""
    saved = " ".join(" ".join(getattr(listing, name) for name in LISTING_WORDS).split()).casefold()
    return [
        Caution(
            f"The saved words still say “{quoted(each.statement.text)}”, which is contradicted by now: the "
            "window and the sheet leave it out. Take it out here too, or draft the listing again.",
            "#id_history_words",
        )
        for each in weighed
        if not each.standing.may_be_printed
        and " ".join(each.statement.text.split()).rstrip(".").casefold() in saved
    ]
