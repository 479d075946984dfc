"""An instrument as the public sees it: facts with their basis, words, pictures, price. No cost, no seller."""

from collections.abc import Collection
from dataclasses import dataclass, field, replace

from instruments.calc.exact import exact, plain
from instruments.calc.wording import names_in
from instruments.models import Instrument, Photo
from instruments.models.together import asking
from instruments.standings import weighed_statements
from instruments.states import Kind
from shop.facts import build_words, case_words, clearance_words, covering_words
from shop.models import Listing
from shop.private_names import private_names
from workorders.summary import stated_limits_of

UNNAMED_LIMIT = "One piece of work was accepted by the shop without the proof it asks for."


@dataclass(frozen=True)
class Fact:
    label: str
    value: str
    basis: str = ""


@dataclass(frozen=True)
class Shown:
    listing: Listing
    instrument: Instrument
    headline: str
    photos: list[Photo]
    price_minor: int | None
    body: list[str]
    history: list[str]
    work_done: list[str]
    not_done: list[str]
    faults: list[str]
    short: list[str] = field(default_factory=list)
    paper: list[str] = field(default_factory=list)
    social: list[str] = field(default_factory=list)
    limits: tuple[str, ...] = ()  # from the record, whatever the saved words say


def shown(listing: Listing, *, withheld: Collection[str] = (), names: Collection[str] = ()) -> Shown:
    """What the saved words and the record show today, without lines that tell what is withheld or a name."""
    prices = list(listing.instrument.asking_prices.all()[:1])
    photos = [photo for photo in listing.instrument.photos.all() if photo.is_public and not photo.removed_at]

    def told(text: str) -> list[str]:
        return [
            line
            for line in lines(text)
            if not any(claim in plainly(line) for claim in withheld) and not names_in(line, names)
        ]

    return Shown(
        listing=listing,
        instrument=listing.instrument,
        headline=" ".join(told(listing.headline)) or _plain_headline(listing.instrument),
        photos=photos,
        price_minor=prices[0].amount_minor if prices else None,
        body=told(listing.body),
        history=told(listing.history_words),
        work_done=told(listing.work_done),
        not_done=told(listing.not_done),
        faults=told(listing.faults),
        short=told(listing.short_text),
        paper=told(listing.print_words),
        social=told(listing.social_text),
    )


def shown_as_it_stands(listing: Listing) -> Shown:
    """For a page or paper that prints the words: without a claim contradicted since, or a seller's name."""
    weighed = weighed_statements(listing.instrument)
    fallen = {plainly(each.statement.text) for each in weighed if not each.standing.may_be_printed}
    names = private_names(listing.instrument)
    told = shown(listing, withheld=fallen - {""}, names=names)
    return replace(told, limits=stated_limits(listing.instrument, names))


def stated_limits(instrument: Instrument, names: Collection[str]) -> tuple[str, ...]:
    """What was accepted without its proof, or left although it was asked for; no private name in it."""
    said = []
    for limit in stated_limits_of(instrument):
        sentence = UNNAMED_LIMIT if names_in(limit.sentence, names) else limit.sentence
        reason = "" if names_in(limit.reason, names) else limit.reason
        said.append(f"{sentence} Reason given: {reason}" if reason else sentence)
    return tuple(dict.fromkeys(said))


def _plain_headline(instrument: Instrument) -> str:
    return f"{instrument.maker_name} {instrument.get_kind_display().lower()}"


def plainly(text: str) -> str:
    """As compared: without case, runs of space, quotation marks or a closing full stop."""
    return " ".join(text.casefold().replace("“", "").replace("”", "").split()).rstrip(".")


def upper_first(words: str) -> str:
    return words[:1].upper() + words[1:]


def lines(text: str) -> list[str]:
    return [line.strip() for line in text.splitlines() if line.strip()]


@asking
def public_facts(instrument: Instrument):
    """A list of facts: label, value and how it is known, for the page and the sheet alike."""
    cleared = yield from clearance_words.later(instrument)
    facts = [Fact("Made", _made(instrument), _made_basis(instrument))]
    if instrument.serial:
        where = f"read {instrument.serial_read_at}" if instrument.serial_read_at else "as read by us"
        facts.append(Fact("Serial", instrument.serial, where))
    count = f"{instrument.key_count} keys"
    facts.append(Fact("Compass", count, instrument.compass_words.removeprefix(f"{count}, ")))
    facts.extend(_sizes(instrument))
    if words := build_words(instrument):
        facts.append(Fact("Construction", words, "as seen"))
    if words := case_words(instrument):
        facts.append(Fact("Case", upper_first(words.removeprefix("Case: ")), "as seen"))
    if words := covering_words(instrument):
        facts.append(Fact("Key tops", words.removeprefix("Key coverings: "), cleared))
    return facts


def _made(instrument: Instrument) -> str:
    return upper_first(instrument.made_words)


def _made_basis(instrument: Instrument) -> str:
    if not instrument.made:
        return ""
    if instrument.made_is_told:
        return "as told to us; we have seen nothing that shows it"
    return instrument.made_basis_words


def _sizes(instrument: Instrument) -> list[Fact]:
    sizes = []
    if instrument.height_cm and instrument.kind == Kind.UPRIGHT:
        sizes.append(Fact("Height", f"{plain(exact(instrument.height_cm))} cm", "measured"))
    if instrument.length_cm and instrument.kind != Kind.UPRIGHT:
        sizes.append(Fact("Length", f"{plain(exact(instrument.length_cm))} cm", "measured"))
    if instrument.width_cm:
        sizes.append(Fact("Width", f"{plain(exact(instrument.width_cm))} cm", "measured"))
    if instrument.weight_kg:
        sizes.append(Fact("Weight", f"about {instrument.weight_kg} kg", "an estimate; never lift alone"))
    return sizes
