"""Something else found at the bench: a finding on the instrument, put to the owner, agreed to or declined."""

from datetime import date

from django.db import transaction

from instruments.actions.findings import record_finding
from instruments.actions.history import save_tracked
from instruments.models import Photo
from instruments.problems import Blocked, Blocker, refuse_if_blocked
from workorders.actions.from_findings import Wanted, work_from_findings
from workorders.actions.holding import hold_item
from workorders.actions.items import describe_item
from workorders.actions.orders import add_own_item, open_order
from workorders.bench_problems import declining_problems, item_at_work, order_for, proposal_problems
from workorders.models import ItemFinding, ProposalAnswer, Task, WorkItem, WorkProposal

NEW_ORDER = "Found at the bench"


@transaction.atomic
def propose_work(
    *,
    item: WorkItem,
    part: str,
    condition: str,
    by,
    on: date,
    note: str = "",
    keys: str = "",
    photo: Photo | None = None,
    task: Task | None = None,
    usual_minutes: int | None = None,
) -> WorkProposal:
    """Write down what was found while at work on an item, and put it to the owner."""
    item = hold_item(item)
    finding = record_finding(
        instrument=item.order.instrument,
        part=part,
        condition=condition,
        note=note,
        keys=keys,
        photo=photo,
        by=by,
        on=on,
    )
    proposal = WorkProposal.objects.create(
        item=item, finding=finding, task=task, usual_minutes=usual_minutes, proposed_by=by, proposed_on=on
    )
    save_tracked(item, by=by, why=f"Found while at “{item.name}”: {finding}. The owner is asked.")
    return proposal


@transaction.atomic
def accept_proposal(
    *,
    proposal: WorkProposal,
    by,
    on: date,
    task: Task | None = None,
    own_words: str = "",
    usual_minutes: int | None = None,
) -> ProposalAnswer:
    """Make an item of a proposal, by a task of the library or in own words. Agreed to already, it stays so.

    What has become work on another way is not ordered twice. Raises Blocked when it was declined, when the
    part has been looked at again since, or when somebody has to be asked first.
    """
    proposal = _held(proposal)
    answer = ProposalAnswer.objects.filter(proposal=proposal, item__isnull=False).first()
    if answer:
        return answer
    refuse_if_blocked(proposal_problems(proposal, by))
    item = item_at_work(proposal) or _made(proposal, task, own_words.strip(), usual_minutes, by=by, on=on)
    return ProposalAnswer.objects.create(proposal=proposal, item=item, answered_by=by, answered_on=on)


@transaction.atomic
def decline_proposal(*, proposal: WorkProposal, reason: str, by, on: date) -> ProposalAnswer:
    """Leave it. The finding stays on the instrument; whoever proposed it reads why."""
    proposal = _held(proposal)
    refuse_if_blocked(declining_problems(proposal, by))
    if not reason.strip():
        raise Blocked([Blocker("Say why nothing is done about it.")])
    answer = ProposalAnswer.objects.create(
        proposal=proposal, reason=reason.strip(), answered_by=by, answered_on=on
    )
    words = f"Declined: {proposal}. {answer.reason}"
    save_tracked(proposal.item, by=by, why=words)
    return answer


def _held(proposal: WorkProposal) -> WorkProposal:
    """The proposal, and nobody else's to answer before this transaction ends."""
    hold_item(proposal.item)
    return WorkProposal.objects.told().get(pk=proposal.pk)


def _made(
    proposal: WorkProposal, task: Task | None, own_words: str, minutes: int | None, *, by, on: date
) -> WorkItem:
    if own_words:
        return _in_own_words(proposal, own_words, minutes, by=by, on=on)
    if task is None:
        raise Blocked([Blocker("Choose the task it becomes, or say in your own words what is to be done.")])
    made = work_from_findings(
        instrument=proposal.finding.instrument,
        wanted=[Wanted(task, (proposal.finding,))],
        order=order_for(proposal),
        title=NEW_ORDER,
        by=by,
        on=on,
    )
    item = made.items[0]
    if minutes and made.new_count and minutes != item.usual_minutes:
        item = describe_item(item=item, keys=item.keys, note=item.note, usual_minutes=minutes, by=by)
    return item


def _in_own_words(proposal: WorkProposal, words: str, minutes: int | None, *, by, on: date) -> WorkItem:
    finding = proposal.finding
    order = order_for(proposal) or open_order(instrument=finding.instrument, title=NEW_ORDER, by=by, on=on)
    item = add_own_item(
        order=order,
        name=words,
        note=finding.note,
        keys=finding.keys,
        **({"usual_minutes": minutes} if minutes else {}),
        by=by,
        on=on,
    )
    ItemFinding.objects.create(item=item, finding=finding)
    return item
