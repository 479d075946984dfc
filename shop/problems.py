"""What stands between an instrument and a customer. The page prints it, the action refuses by it."""

from django.db.models import QuerySet
from django.urls import reverse

from instruments.key_marks import KeyStrip, key_strip_of
from instruments.models import Instrument
from instruments.models.together import alongside, asking, together
from instruments.models.worded import ASKED, of_one
from instruments.problems import Blocker, Caution, Problem
from instruments.standings import Weighed, conflicts_of, quoted, weighed_statements
from instruments.states import GRADES_THAT_STAND, Occasion
from shop.models import Promise
from shop.owner_problems import owner_problems
from shop.ownership_problems import ownership_problems
from shop.private_names import names_somebody, private_names
from shop.protected_problems import protected_material_problems
from shop.sale_ending_problems import handed_back_problems
from shop.sound_problems import sound_cautions
from shop.states import PromiseKind
from shop.untouched import untouched_problems
from workorders.models import WorkItem

MOST_SENTENCES = 2  # named in a caution
MOST_WORK_NAMED = 4
STILL_LOOKED_AT = (
    "The report as it came back from its home trial is begun and not closed: nobody has said yet that it is "
    "as it was."
)
LONGEST_LOAN_DAYS = 88  # under three months whichever months they are
ACT_OF = {PromiseKind.HOLD: "offering", PromiseKind.TRIAL: "lending", PromiseKind.SALE: "selling"}
WORDS_FOR_PROMISE = {"hold": "on hold", "trial": "out on home trial", "sale": "sold"}


@asking
def open_promise_of(instrument: Instrument):
    return (yield (_open_promises(instrument.pk),))[0].first()


@of_one
def _open_promises() -> QuerySet[Promise]:
    return Promise.objects.open().filter(instrument=ASKED).select_related("instrument", "person", "sale")[:1]


@asking
def promise_problems(instrument: Instrument, *, with_names: bool = True):
    """Who has it; without a name for those whose work needs none."""
    promise = yield from open_promise_of.later(instrument)
    if promise is None:
        return []
    whom = f" It is promised to {promise.person}." if with_names else ""
    return [Blocker(f"{_promised_words(promise)}{whom}", _at(instrument, "promise"))]


def _promised_words(promise: Promise) -> str:
    instrument, words = promise.instrument, WORDS_FOR_PROMISE[promise.kind]
    return f"{instrument.maker_name} {instrument.stock_number} is {words}{promise.ends_in_words}."


@asking
def open_work_problems(instrument: Instrument, *, blocks: bool):
    items = WorkItem.objects.open().filter(order__instrument=instrument, is_required=True)
    (names,) = yield (items.values_list("name", flat=True),)
    if not names:
        return []
    more = len(names) - MOST_WORK_NAMED
    listed = ", ".join(names[:MOST_WORK_NAMED]) + (f" and {more} more" if more > 0 else "")
    kind = Blocker if blocks else Caution
    return [kind(f"Required work is still open: {listed}.", _at(instrument, "work"))]


@asking
def key_cautions(instrument: Instrument, keys: KeyStrip | None = None):
    """Faults marked at keys: nobody should learn of them after the piano has left."""
    faults = (keys or (yield from key_strip_of.later(instrument))).faults
    if not faults:
        return []
    told = "; ".join(f"{line.sign.words.lower()} at {line.keys}" for line in faults[:MOST_SENTENCES])
    more = f" and {len(faults) - MOST_SENTENCES} more faults" if len(faults) > MOST_SENTENCES else ""
    return [Caution(f"Marked at the keys and not cleared: {told}{more}.", _at(instrument, "keys"))]


@asking
def price_problems(instrument: Instrument):
    (prices,) = yield (instrument.asking_prices.values_list("pk")[:1],)
    if prices:
        return []
    page = reverse("shop:price_set", args=[instrument.stock_number])
    return [Blocker("No asking price is set.", page, "shop.sell")]


@asking
def photo_problems(instrument: Instrument):
    (photos,) = yield (instrument.photos.public().values_list("pk")[:1],)
    if photos:
        return []
    return [Blocker("No photograph is marked as one the public may see.", _at(instrument, "photos"))]


@asking
def evidence_cautions(instrument: Instrument):
    findings, seen = yield (
        instrument.findings.values_list("pk")[:1],
        instrument.statements.current().filter(grade__in=GRADES_THAT_STAND).values_list("pk")[:1],
    )
    cautions = []
    if not instrument.serial:
        cautions.append(Caution("No serial number is recorded.", _at(instrument, "identity")))
    if instrument.made and instrument.made_is_told:
        cautions.append(
            Caution(
                "The date rests on nobody's evidence; it will print as told.", _at(instrument, "identity")
            )
        )
    if not findings:
        cautions.append(Caution("Its condition has not been examined.", _at(instrument, "condition")))
    if not seen:
        cautions.append(
            Caution("Nothing of its history has been seen or documented.", _at(instrument, "history"))
        )
    return cautions


@asking
def statement_cautions(instrument: Instrument, weighed: list[Weighed] | None = None):
    """What is said of it that cannot all be true, and what the public would have read but is contradicted."""
    if weighed is None:
        weighed = yield from weighed_statements.later(instrument)
    names, clashing = yield from alongside(
        private_names.later(instrument), conflicts_of.later(instrument, weighed)
    )
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
    clashes = [Caution(each.sentence, _at(instrument, "history")) for each in clashing]
    return [*naming, *contradicted, *clashes]


def _statement_page(each: Weighed) -> str:
    return reverse(
        "instruments:statement_page", args=[each.statement.instrument.stock_number, each.statement.pk]
    )


@asking
def listing_problems(
    instrument: Instrument,
    weighed: list[Weighed] | None = None,
    keys: KeyStrip | None = None,
    *,
    with_names: bool = True,
):
    """Everything that speaks against showing it; `weighed` and `keys` where they are at hand already."""
    problems: list[list[Problem]] = yield from alongside(
        ownership_problems.later(instrument, with_names=with_names),
        handed_back_problems.later(instrument),
        promise_problems.later(instrument, with_names=with_names),
        price_problems.later(instrument),
        photo_problems.later(instrument),
        open_work_problems.later(instrument, blocks=True),
        key_cautions.later(instrument, keys),
        untouched_problems.later(instrument),
        protected_material_problems.later(instrument, act="offering"),
        return_cautions.later(instrument),
        evidence_cautions.later(instrument),
        statement_cautions.later(instrument, weighed),
        sound_cautions.later(instrument),
    )
    return [each for some in problems for each in some]


@asking
def return_cautions(instrument: Instrument):
    """The walk round it as it came back from a home trial, begun and left open."""
    (reports,) = yield (instrument.condition_reports.all()[:1],)
    report = reports.first()
    if report is None or report.occasion != Occasion.BACK_FROM_TRIAL or not report.is_open:
        return []
    return [Caution(STILL_LOOKED_AT, report.get_absolute_url())]


def dealing_problems(instrument: Instrument, *, act: str) -> list[Problem]:
    """For a hold, a home trial, an exchange or a sale of this instrument; `act` as `ACT_OF` has it."""
    refusing, work, keys = together(
        what_may_refuse.later(instrument, act=act),
        open_work_problems.later(instrument, blocks=False),
        key_cautions.later(instrument),
    )
    return [*refusing, *work, *keys]


@asking
def what_may_refuse(instrument: Instrument, *, act: str):
    """Of `dealing_problems` those that an act may be refused by, which asks while everybody else waits."""
    problems: list[list[Problem]] = yield from alongside(
        ownership_problems.later(instrument),
        handed_back_problems.later(instrument),
        promise_problems.later(instrument),
        untouched_problems.later(instrument),
        owner_problems.later(instrument, act=act),
        protected_material_problems.later(instrument, act=act),
    )
    return [each for some in problems for each in some]


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
