"""What stands against after-care: changing a guarantee, booking a visit, judging and closing a call-back."""

from datetime import date

from instruments.problems import Blocker, Caution, Problem
from shop.after_care import CareStanding
from shop.care_states import AT_OUR_COST, WANTS_A_REASON, Verdict
from shop.models import CallBack, CareVisit, Paper, Promise, Sale
from shop.sale_day_words import CRA, not_worked_out
from shop.sale_days import days_of_sale
from shop.states import PaperKind, PromiseKind

NOTHING_WRITTEN = "Write what was done or read. Where nothing was, say that it was not done."
SAYS_SOMETHING = ("work", "pitch_found", "pitch_left", "humidity_percent", "temperature_c", "keys", "advice")

# Consumer Rights Act 2015 ss 9, 19, 22 to 24, 31: a guarantee comes on top of them and takes nothing away.
IN_ADDITION = (
    "This guarantee is in addition to the buyer’s legal rights and takes nothing away from them. Check the "
    "law in force; this is not legal advice."
)


def changing_care_problems(sale: Sale) -> list[Problem]:
    """A guarantee that was printed stands as it was handed out; one of an ended sale is over."""
    if not Promise.objects.open().filter(pk=sale.promise_id).exists():
        return [Blocker(f"{sale.number} has ended, and its guarantee with it.")]
    if guarantee_paper_of(sale):
        return [Blocker("The guarantee is printed, so it stands as the buyer has it.")]
    return []


def guarantee_paper_of(sale: Sale) -> Paper | None:
    return Paper.objects.filter(sale=sale, kind=PaperKind.GUARANTEE).first()


def guarantee_problems(standing: CareStanding) -> list[Problem]:
    """Before the guarantee is printed."""
    if standing.is_ended:
        return [Blocker(f"{standing.sale.number} has ended, and its guarantee with it.")]
    if standing.agreed is None:
        return [Blocker("Nothing is agreed yet. Look through the parts and save them first.")]
    if not standing.terms.covered:
        return [Blocker("No part is in the guarantee: there is nothing to print.")]
    if standing.delivered_on is None and standing.terms.runs_from == "delivery":
        return [
            Caution(
                "Nobody has written down when it was delivered. Until then the days are counted from the "
                "sale; the paper says “from the day of delivery”."
            )
        ]
    return []


def booking_problems(standing: CareStanding | None, *, included: bool) -> list[Problem]:
    """`standing` is none where the instrument is with nobody who bought it from us."""
    if not included:
        return []
    if standing is None or standing.is_ended:
        return [Blocker("Only a sale that stands has tunings in its price.")]
    if standing.terms is None:
        return [Blocker("Nothing is agreed about tunings in the price of this sale yet.")]
    if not standing.included_left:
        count = standing.terms.included_tunings
        words = {0: "No tuning is in the price", 1: "The tuning in the price is"}.get(
            count, f"The {count} tunings in the price are"
        )
        return [Blocker(f"{words}{' booked or done' if count else ''}. Book it as one that is paid for.")]
    return []


def writing_up_problems(visit: CareVisit, record: dict, *, is_earlier: bool) -> list[Problem]:
    """`record` as it would be kept; `is_earlier` where somebody says that it was done before its day."""
    problems: list[Problem] = []
    if all(record.get(name) in (None, "") for name in SAYS_SOMETHING):
        problems.append(Blocker(NOTHING_WRITTEN))
    if before_its_day(visit, record.get("visited_on")) and not is_earlier:
        problems.append(Blocker(f"It is booked for {visit.booked_for:%-d %B %Y}, a later day than this."))
    return problems


def why_not_told_then(promise: Promise, told_on: date) -> str:
    """A fault cannot be told of before they had it; "" where the day can be right."""
    since = had_since(promise)
    if told_on >= since:
        return ""
    what = "sold to them" if promise.kind == PromiseKind.SALE else "with them"
    return f"It was {what} on {since:%-d %B %Y} only, a later day than this."


def had_since(promise: Promise) -> date:
    """The day of the sale, or of the home trial that led to it."""
    if promise.kind != PromiseKind.SALE:
        return promise.trial.starts_on
    sale = promise.sale
    return min(sale.sold_on, sale.from_trial.starts_on) if sale.from_trial else sale.sold_on


def before_its_day(visit: CareVisit, day: date | None) -> bool:
    return visit.is_booked and day is not None and day < visit.booked_for


def verdict_problems(
    call_back: CallBack, standing: CareStanding | None, verdict: str, why: str
) -> list[Problem]:
    problems: list[Problem] = []
    if not call_back.is_open:
        problems.append(Blocker(f"{call_back.number} is closed already."))
    if verdict in WANTS_A_REASON and not why.strip():
        problems.append(Blocker("Say why, in a sentence that can be read to the customer."))
    if verdict == Verdict.GUARANTEE and (reason := not_guaranteed(call_back, standing)):
        problems.append(Blocker(f"{reason} What we do all the same is goodwill."))
    return problems


def not_guaranteed(call_back: CallBack, standing: CareStanding | None) -> str:
    """Why the guarantee does not speak of it; "" where it does."""
    if standing is None or standing.is_ended or standing.terms is None:
        return "No guarantee was given with it."
    each = next((each for each in standing.guaranteed if each.part.code == call_back.part), None)
    if each is None or each.until is None:
        return f"{call_back.part_name} is not in its guarantee."
    if not each.holds(call_back.told_on):
        return f"The guarantee of that part ended on {each.until:%-d %B %Y}."
    return ""


def judging_cautions(call_back: CallBack, standing: CareStanding | None) -> list[Problem]:
    """What to know before judging: the guarantee, what the law presumes, the room."""
    reason = not_guaranteed(call_back, standing)
    sentences = [reason or "That part is in the guarantee on the day it was told."]
    if standing is not None and not standing.is_ended:
        sentences += [_presumed(call_back, standing.sale), *standing.conditions]
    return [Caution(each) for each in [*sentences, "Check the law in force; this is not legal advice."]]


def _presumed(call_back: CallBack, sale: Sale) -> str:
    """The six months of the law, for a consumer whom that law covers; else what holds instead."""
    days = days_of_sale(sale)
    if not days.is_worked_out:
        return not_worked_out(days)
    until = days.presumption_until
    if until is None:
        return (
            "For six months from delivery a fault is presumed to have been there "
            f"({CRA} s 19(14)); nobody has written down when it was delivered."
        )
    if call_back.told_on <= until:
        return (
            f"Told by {until:%-d %B %Y}: for six months from delivery a fault is presumed to have been there "
            f"({CRA} s 19(14)); it is for us to show that it was not."
        )
    return (
        f"The six months in which a fault is presumed to have been there ended on {until:%-d %B %Y}. Their "
        "rights go on; it is for them to show it now."
    )


def answering_problems(call_back: CallBack) -> list[Problem]:
    """Before the customer is told: somebody has to have judged it."""
    if not call_back.judgements.exists():
        return [Blocker("Judge it first, so that there is something to tell.")]
    return []


def ordering_problems(call_back: CallBack) -> list[Problem]:
    if not call_back.is_open:
        return [Blocker(f"{call_back.number} is closed already.")]
    if call_back.order_id:
        return [Blocker(f"It is work order {call_back.order.number} already.")]
    judgement = call_back.judgements.first()
    if judgement is None:
        return [Blocker("Judge it first: whose cost is it?")]
    if judgement.verdict not in AT_OUR_COST:
        return [
            Blocker("It was judged not to be at our cost: agree the work with the customer and quote for it.")
        ]
    return []


def closing_problems(call_back: CallBack) -> list[Problem]:
    problems: list[Problem] = []
    if not call_back.is_open:
        return [Blocker(f"{call_back.number} is closed already.")]
    if not call_back.judgements.exists():
        problems.append(Blocker("Judge it first, so that the customer has an answer."))
    if call_back.order_id and call_back.order.is_open:
        problems.append(Blocker(f"Work order {call_back.order.number} is open still."))
    if visit := call_back.visits.booked().first():
        problems.append(Blocker(f"Visit {visit.number} is booked and not written up."))
    return problems
