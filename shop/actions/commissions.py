"""A customer's wishes: opened as an order, quoted version by version, approved in writing, withdrawn."""

from collections.abc import Collection, Mapping, Sequence
from datetime import date

from django.db import transaction

from instruments.actions.documents import add_document
from instruments.actions.history import save_tracked
from instruments.actions.numbers import next_number
from instruments.actions.touch_target import set_touch_target
from instruments.kept_files import StoredFile
from instruments.models import Document, Instrument
from instruments.problems import Blocked, Blocker, Refused, refuse_if_blocked
from instruments.states import WhoMaySee
from shop.actions.ledger import lock_person
from shop.commission_problems import (
    approval_problems,
    extra_problems,
    opening_problems,
    quoting_problems,
    wishes_problems,
    withdrawing_problems,
)
from shop.commissions import curve_wished, shift_words, standing_of
from shop.models import Approval, Commission, Extra, Paper, Promise, Quote, QuoteTakenBack, TakenIn, Wish
from shop.states import PaperKind
from workorders.actions.items import drop_item
from workorders.actions.orders import add_items, add_own_item, give_up_order, open_order
from workorders.actions.touch import aim_order
from workorders.models import Task, WorkItem
from workorders.states import Acceptance, ItemState


@transaction.atomic
def open_commission(
    *,
    title: str,
    promise: Promise | None = None,
    taken_in: TakenIn | None = None,
    due_on: date | None = None,
    note: str = "",
    by,
    on: date,
) -> Commission:
    """A work order for what one customer wishes. Nothing of it begins before a quote is approved."""
    refuse_if_blocked(opening_problems(promise=promise, taken_in=taken_in))
    source = promise or taken_in
    order = open_order(instrument=source.instrument, title=title, due_on=due_on, note=note, by=by, on=on)
    commission = Commission(
        number=next_number("commission", on=on, prefix="Q"),
        order=order,
        person=source.person,
        promise=promise,
        taken_in=taken_in,
        opened_on=on,
        opened_by=by,
    )
    save_tracked(commission, by=by, why=f"{commission.number} opened for {source.person}: {title}")
    return commission


@transaction.atomic
def issue_quote(
    *,
    commission: Commission,
    version: int,
    wishes: Sequence[Mapping],
    valid_until: date,
    deposit_minor: int = 0,
    extras_cap_minor: int = 0,
    note: str = "",
    stored: StoredFile,
    by,
    on: date,
) -> Quote:
    """Quote the next version, with the paper as `stored_paper` put it away. `wishes` are fields of Wish.

    Raises Refused when somebody else issued a version after the paper was printed.
    """
    commission = _locked(commission)
    standing = standing_of(commission)
    refuse_if_blocked(quoting_problems(standing))
    if version != next_version(commission):
        raise Refused("Somebody issued another version a moment ago. Read it before you change it again.")
    refuse_if_blocked(wishes_problems(wishes, commission.order.instrument))
    paper = Paper.objects.create(
        kind=PaperKind.QUOTE,
        number=f"{commission.number} v{version}",
        instrument=commission.order.instrument,
        facts={"number": commission.number, "version": version, "person": commission.person.name},
        made_by=by,
        **stored.fields,
    )
    quote = Quote.objects.create(
        commission=commission,
        version=version,
        valid_until=valid_until,
        deposit_minor=deposit_minor,
        extras_cap_minor=extras_cap_minor,
        note=note,
        paper=paper,
        issued_on=on,
        issued_by=by,
    )
    before = [wish for each in standing.quotes for wish in each.wishes.all()]
    for position, wish in enumerate(wishes, start=1):
        item = _item_for(commission, wish, before, by=by, on=on)
        Wish.objects.create(quote=quote, position=position, item=item, **wish)
    stored.keep()
    save_tracked(commission, by=by, why=f"Version {version} of {commission.number} quoted")
    return quote


@transaction.atomic
def approve_quote(
    *,
    quote: Quote,
    approved_by_name: str,
    way: str,
    approved_on: date,
    reference: str = "",
    scan: StoredFile | None = None,
    agreed: Collection[Wish] = (),
    by,
    on: date,
) -> Approval:
    """Record the customer's written yes to the present version. From here on its work may begin.

    Each wish that cannot be undone has to be among those `agreed` to by a tick of its own.
    """
    commission = _locked(quote.commission)
    standing = standing_of(commission)
    problems = approval_problems(standing, quote, approved_on=approved_on)
    if approved_on > on:
        problems.append(Blocker("An approval that has not come yet cannot be recorded."))
    if not reference and scan is None:
        problems.append(Blocker("Add the approval as a file, or say where it can be found."))
    final = [wish for wish in quote.wishes.all() if wish.is_irreversible]
    problems += [
        Blocker(f"“{wish.words}” cannot be undone: the customer has to tick that line by itself.")
        for wish in final
        if wish not in agreed
    ]
    refuse_if_blocked(problems)
    approval = Approval.objects.create(
        quote=quote,
        approved_by_name=approved_by_name,
        way=way,
        approved_on=approved_on,
        reference=reference,
        document=_document(quote, scan, by=by),
        final_words="\n".join(wish.words for wish in final),
        wording_sha256=quote.paper.sha256,
        recorded_by=by,
    )
    _follow(commission, quote, standing.in_force, by=by, on=on)
    save_tracked(commission, by=by, why=str(approval))
    return approval


@transaction.atomic
def take_back_quote(*, quote: Quote, reason: str, by, on: date) -> QuoteTakenBack:
    """A version that was not approved no longer stands; the one approved before it holds again."""
    commission = _locked(quote.commission)
    standing = standing_of(commission)
    if quote != standing.present or hasattr(quote, "approval"):
        raise Blocked(
            [Blocker("Only the present version can be taken back, and only before it is approved.")]
        )
    taken_back = QuoteTakenBack.objects.create(quote=quote, reason=reason, taken_back_by=by)
    kept = {wish.item_id for each in standing.quotes if each != quote for wish in each.wishes.all()}
    for wish in quote.wishes.all():
        if wish.item_id not in kept:
            drop_item(item=wish.item, reason=f"Version {quote.version} was taken back.", by=by, on=on)
    save_tracked(commission, by=by, why=f"{quote} taken back: {reason}")
    return taken_back


@transaction.atomic
def add_extra(*, commission: Commission, words: str, price_minor: int, by, on: date) -> Extra:
    """A small extra inside the cap that the customer agreed to beforehand."""
    commission = _locked(commission)
    standing = standing_of(commission)
    refuse_if_blocked(extra_problems(standing, price_minor))
    return Extra.objects.create(
        quote=standing.in_force, words=words, price_minor=price_minor, added_on=on, added_by=by
    )


@transaction.atomic
def withdraw_commission(*, commission: Commission, reason: str, by, on: date) -> Commission:
    """The customer no longer wishes it: its order is given up, and nothing more is to be paid."""
    commission = _locked(commission)
    refuse_if_blocked(withdrawing_problems(standing_of(commission)))
    for item in commission.order.items.filter(state=ItemState.OPEN):
        drop_item(item=item, reason=f"{commission.number} was withdrawn.", by=by, on=on)
    give_up_order(order=commission.order, reason=reason, by=by, on=on)
    commission.withdrawn_on, commission.withdrawn_by = on, by
    commission.withdrawn_because = reason.strip()
    save_tracked(commission, by=by, why=f"{commission.number} withdrawn: {reason.strip()}")
    return commission


@transaction.atomic
def adopt_touch(*, commission: Commission, by) -> Instrument:
    """Make the touch agreed for this order the instrument's own target. Never done by itself."""
    order = commission.order
    if not order.has_own_touch:
        raise Blocked([Blocker(f"{order.number} has no touch of its own.")])
    return set_touch_target(
        instrument=order.instrument,
        touch_bass_g=order.touch_bass_g,
        touch_middle_g=order.touch_middle_g,
        touch_treble_g=order.touch_treble_g,
        touch_tolerance_g=order.touch_tolerance_g,
        touch_reason=order.touch_reason,
        by=by,
    )


def next_version(commission: Commission) -> int:
    return (commission.quotes.values_list("version", flat=True).first() or 0) + 1


def _locked(commission: Commission) -> Commission:
    """The commission as it is now; money and wishes of one person move one at a time."""
    lock_person(commission.person)
    locked = Commission.objects.select_for_update(of=("self",))
    return locked.select_related("order__instrument", "person", "promise").get(pk=commission.pk)


def _item_for(commission: Commission, wish: Mapping, before: Sequence[Wish], *, by, on) -> WorkItem:
    """The work a wish stands for: the same as in the version before where the wish is the same."""
    task = wish.get("task") or _touch_task(wish)
    for earlier in before:
        same = earlier.item.task_id == task.pk if task else earlier.words == wish["words"]
        if same and earlier.item.is_open:
            return earlier.item
    if task:
        if added := add_items(order=commission.order, tasks=[task], by=by, on=on):
            return added[0]
        if item := commission.order.items.filter(task=task).first():
            return item
    acceptance = Acceptance.TOUCH if _asks_for_touch(wish) else Acceptance.NOTE
    return add_own_item(order=commission.order, name=wish["words"][:120], acceptance=acceptance, by=by, on=on)


def _touch_task(wish: Mapping) -> Task | None:
    if not _asks_for_touch(wish):
        return None
    return Task.objects.in_use().filter(acceptance=Acceptance.TOUCH).first()


def _asks_for_touch(wish: Mapping) -> bool:
    return wish.get("touch_shift_g") is not None or wish.get("touch_bass_g") is not None


def _document(quote: Quote, scan: StoredFile | None, *, by) -> Document | None:
    if scan is None:
        return None
    instrument = quote.commission.order.instrument
    if known := instrument.documents.filter(sha256=scan.fields["sha256"]).first():
        return known
    title = f"Approval of {quote}"
    document = add_document(instrument=instrument, title=title, seen_by=WhoMaySee.OWNER, by=by, **scan.fields)
    scan.keep()
    return document


def _follow(commission: Commission, quote: Quote, before: Quote | None, *, by, on: date) -> None:
    """The order takes the touch of this version, and leaves what only the version before it wished."""
    wishes = list(quote.wishes.all())
    curve = curve_wished(wishes, commission.order.instrument)
    if curve or commission.order.has_own_touch:
        aim_order(order=commission.order, curve=curve, reason=_whose(commission, wishes), by=by)
    kept = {wish.item_id for wish in wishes}
    for wish in before.wishes.all() if before else ():
        if wish.item_id not in kept:
            reason = f"No longer wished: version {quote.version} of {commission.number}."
            drop_item(item=wish.item, reason=reason, by=by, on=on)


def _whose(commission: Commission, wishes: Sequence[Wish]) -> str:
    shift = next((wish.touch_shift_g for wish in wishes if wish.touch_shift_g is not None), None)
    words = shift_words(shift) if shift is not None else "a touch of their own"
    return f"by {commission.number}: {words}"
