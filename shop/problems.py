"""What stands between an instrument and a customer. The page prints it, the action refuses by it."""

from datetime import date

from django.urls import reverse

from instruments.calc.wording import loaded_words, names_in
from instruments.key_marks import KeyStrip, key_strip_of
from instruments.models import Instrument
from instruments.problems import Blocker, Caution, Problem
from instruments.standings import Weighed, conflicts_of, quoted, weighed_statements
from instruments.states import GRADES_THAT_STAND, Occasion
from shop.backing import backing_of
from shop.calc.tracing import beyond_the_record
from shop.drafts import drafted
from shop.models import Listing, Promise
from shop.owner_problems import owner_problems
from shop.ownership_problems import ownership_problems
from shop.private_names import names_somebody, private_names
from shop.protected_problems import protected_material_problems
from shop.sale_ending_problems import handed_back_problems
from shop.states import PromiseKind
from shop.untouched import untouched_problems
from workorders.models import WorkItem

LONG_TEXT = ("headline", "body", "history_words", "work_done", "not_done", "faults")
OTHER_VERSIONS = ("short_text", "print_words", "social_text")
LISTING_WORDS = (*LONG_TEXT, *OTHER_VERSIONS)
WORDS_THAT_PRAISE = ("body", "history_words", "work_done", *OTHER_VERSIONS)  # faults may always be added
MOST_SENTENCES = 2  # named in a caution
STILL_LOOKED_AT = (
    "The report as it came back from its home trial is begun and not closed: nobody has said yet that it is "
    "as it was."
)
LONGEST_LOAN_DAYS = 88  # under three months whichever months they are
ACT_OF = {PromiseKind.HOLD: "offering", PromiseKind.TRIAL: "lending", PromiseKind.SALE: "selling"}
WORDS_FOR_PROMISE = {"hold": "on hold", "trial": "out on home trial", "sale": "sold"}


def open_promise_of(instrument: Instrument) -> Promise | None:
    return instrument.promises.open().select_related("instrument", "person").first()


def promise_problems(instrument: Instrument, *, with_names: bool = True) -> list[Problem]:
    """Who has it; without a name for those whose work needs none."""
    promise = open_promise_of(instrument)
    if promise is None:
        return []
    whom = f" It is promised to {promise.person}." if with_names else ""
    return [Blocker(f"{_promised_words(promise)}{whom}", _at(instrument, "promise"))]


def _promised_words(promise: Promise) -> str:
    instrument, words = promise.instrument, WORDS_FOR_PROMISE[promise.kind]
    return f"{instrument.maker_name} {instrument.stock_number} is {words}{promise.ends_in_words}."


def open_work_problems(instrument: Instrument, *, blocks: bool) -> list[Problem]:
    items = WorkItem.objects.open().filter(order__instrument=instrument, is_required=True)
    names = list(items.values_list("name", flat=True)[:4])
    if not names:
        return []
    more = items.count() - len(names)
    listed = ", ".join(names) + (f" and {more} more" if more > 0 else "")
    kind = Blocker if blocks else Caution
    return [kind(f"Required work is still open: {listed}.", _at(instrument, "work"))]


def key_cautions(instrument: Instrument, keys: KeyStrip | None = None) -> list[Problem]:
    """Faults marked at keys: nobody should learn of them after the piano has left."""
    faults = (keys or key_strip_of(instrument)).faults
    if not faults:
        return []
    told = "; ".join(f"{line.sign.words.lower()} at {line.keys}" for line in faults[:MOST_SENTENCES])
    more = f" and {len(faults) - MOST_SENTENCES} more faults" if len(faults) > MOST_SENTENCES else ""
    return [Caution(f"Marked at the keys and not cleared: {told}{more}.", _at(instrument, "keys"))]


def price_problems(instrument: Instrument) -> list[Problem]:
    if instrument.asking_prices.exists():
        return []
    page = reverse("shop:price_set", args=[instrument.stock_number])
    return [Blocker("No asking price is set.", page, "shop.sell")]


def photo_problems(instrument: Instrument) -> list[Problem]:
    if instrument.photos.public().exists():
        return []
    return [Blocker("No photograph is marked as one the public may see.", _at(instrument, "photos"))]


def evidence_cautions(instrument: Instrument) -> list[Problem]:
    cautions = []
    if not instrument.serial:
        cautions.append(Caution("No serial number is recorded.", _at(instrument, "identity")))
    if instrument.made and instrument.made_is_told:
        cautions.append(
            Caution(
                "The date rests on nobody's evidence; it will print as told.", _at(instrument, "identity")
            )
        )
    if not instrument.findings.exists():
        cautions.append(Caution("Its condition has not been examined.", _at(instrument, "condition")))
    if not instrument.statements.current().filter(grade__in=GRADES_THAT_STAND).exists():
        cautions.append(
            Caution("Nothing of its history has been seen or documented.", _at(instrument, "history"))
        )
    return cautions


def statement_cautions(instrument: Instrument, weighed: list[Weighed] | None = None) -> list[Problem]:
    """What is said of it that cannot all be true, and what the public would have read but is contradicted."""
    weighed = weighed_statements(instrument) if weighed is None else weighed
    names = private_names(instrument)
    naming = [
        Caution(
            f"“{quoted(each.statement.text)}” names somebody who sold it or told of it, and so a draft "
            "leaves it out. Say what they are to the piano instead.",
            _statement_page(each),
        )
        for each in weighed
        if each.statement.is_public and names_somebody(each.statement, names)
    ]
    contradicted = [
        Caution(
            f"“{quoted(each.statement.text)}” is contradicted, and so a draft leaves it out.",
            _statement_page(each),
        )
        for each in weighed
        if each.statement.is_public and not each.standing.may_be_printed
    ]
    clashing = conflicts_of(instrument, weighed)
    clashes = [Caution(each.sentence, _at(instrument, "history")) for each in clashing]
    return [*naming, *contradicted, *clashes]


def _statement_page(each: Weighed) -> str:
    return reverse(
        "instruments:statement_page", args=[each.statement.instrument.stock_number, each.statement.pk]
    )


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


def listing_problems(
    instrument: Instrument,
    weighed: list[Weighed] | None = None,
    keys: KeyStrip | None = None,
    *,
    with_names: bool = True,
) -> list[Problem]:
    """Everything that speaks against showing it; `weighed` and `keys` where they are at hand already."""
    return [
        *ownership_problems(instrument, with_names=with_names),
        *handed_back_problems(instrument),
        *promise_problems(instrument, with_names=with_names),
        *price_problems(instrument),
        *photo_problems(instrument),
        *open_work_problems(instrument, blocks=True),
        *key_cautions(instrument, keys),
        *untouched_problems(instrument),
        *protected_material_problems(instrument, act="offering"),
        *return_cautions(instrument),
        *evidence_cautions(instrument),
        *statement_cautions(instrument, weighed),
    ]


def return_cautions(instrument: Instrument) -> list[Problem]:
    """The walk round it as it came back from a home trial, begun and left open."""
    report = instrument.condition_reports.first()
    if report is None or report.occasion != Occasion.BACK_FROM_TRIAL or not report.is_open:
        return []
    return [Caution(STILL_LOOKED_AT, report.get_absolute_url())]


def dealing_problems(instrument: Instrument, *, act: str) -> list[Problem]:
    """For a hold, a home trial, an exchange or a sale of this instrument; `act` as `ACT_OF` has it."""
    return [
        *ownership_problems(instrument),
        *handed_back_problems(instrument),
        *promise_problems(instrument),
        *untouched_problems(instrument),
        *owner_problems(instrument, act=act),
        *protected_material_problems(instrument, act=act),
        *open_work_problems(instrument, blocks=False),
        *key_cautions(instrument),
    ]


def sale_problems(instrument: Instrument) -> list[Problem]:
    """For the page of a sale, where it is not known yet who buys: the holder of a hold may."""
    promise = open_promise_of(instrument)
    if promise is None or promise.kind != PromiseKind.HOLD:
        return dealing_problems(instrument, act="selling")
    held = Caution(
        f"{_promised_words(promise)} It can be sold to {promise.person} alone. What was paid on the hold"
        " goes into their credit, and can be used here out of that."
    )
    protected = protected_material_problems(instrument, act="selling")
    return [held, *protected, *open_work_problems(instrument, blocks=False)]


def trial_problems(instrument: Instrument) -> list[Problem]:
    """For a home trial, whose agreement rests on the condition that was written down before."""
    problems = dealing_problems(instrument, act="lending")
    if not instrument.findings.exists():
        problems.append(
            Caution(
                "Nothing has been written down of its condition, and the agreement relies on it.",
                _at(instrument, "condition"),
            )
        )
    return problems


def trial_length_problems(days: int) -> list[Problem]:
    """Three months is where UK law begins to regulate hire (Consumer Credit Act 1974, s. 15)."""
    if days <= LONGEST_LOAN_DAYS:
        return []
    return [
        Blocker(
            f"A loan of {days} days can run to three months or more, and may then be regulated hire. "
            "End it sooner, or take licensed advice first."
        )
    ]


def _at(instrument: Instrument, section: str) -> str:
    return f"{instrument.get_absolute_url()}#{section}"
