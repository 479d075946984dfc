"""What stands in the way at the bench: of starting on an item, and of making work of what was found there."""

from collections.abc import Callable

from django.utils import timezone

from instruments.problems import Blocker, Caution, Problem, Refused
from workorders.calc.durations import minutes_words
from workorders.models import BenchTimer, ItemFinding, ProposalAnswer, WorkItem, WorkOrder, WorkProposal
from workorders.problems import OWNERS_RIGHT, item_problems
from workorders.states import ItemState

# Who else has a say before work is added to an order: the shop puts in what its customers must approve first.
BEFORE_MORE_WORK: list[Callable[[WorkOrder], list[Problem]]] = []


def ask_before_more_work(ask: Callable[[WorkOrder], list[Problem]]) -> None:
    """Let another app say its word wherever work is about to be added. Registered twice, it is asked once."""
    if ask not in BEFORE_MORE_WORK:
        BEFORE_MORE_WORK.append(ask)


class TimerForgotten(Refused):
    """A timer has run for longer than anybody would believe; somebody has to say how long it really was."""

    def __init__(self, timer: BenchTimer):
        self.timer = timer
        started = timezone.localtime(timer.started_at)
        super().__init__(
            f"Your timer on “{timer.item.name}” has run since {started:%A %-d %B, %H:%M}. "
            "Say how long it really was first."
        )


def starting_problems(item: WorkItem) -> list[Problem]:
    """Why nobody can begin on this item now."""
    problems = item_problems(item)
    if problems or WorkItem.objects.can_be_done_now().filter(pk=item.pk).exists():
        return problems
    return [Blocker(f"“{item.name}” is out of the house.", item.get_absolute_url())]


def settling_problems(timer: BenchTimer, minutes: int, *, now) -> list[Problem]:
    """Why these cannot be the minutes of a timer that was left running."""
    longest = timer.minutes_at(now)
    if 0 <= minutes <= longest:
        return []
    return [Blocker(f"It was started {minutes_words(longest)} ago, so it cannot have been longer than that.")]


def proposal_problems(proposal: WorkProposal, by) -> list[Problem]:
    """Why this cannot be made work, and what the owner should know first."""
    if answer := ProposalAnswer.objects.filter(proposal=proposal).select_related("answered_by").first():
        return [Blocker(answered_words(answer))]
    problems = _owners_only(by)
    finding = proposal.finding
    if item_at_work(proposal) is None and hasattr(finding, "superseded_by"):
        problems.append(
            Blocker(
                f"The part has been looked at again since ({finding.superseded_by}): "
                "decline this, and make work of what was found last.",
                finding.instrument.get_absolute_url(),
            )
        )
    order = order_for(proposal)
    if order is None:
        return problems
    asked = [problem for ask in BEFORE_MORE_WORK for problem in ask(order)]
    return [*problems, *_goes_elsewhere(proposal, order), *asked]


def order_for(proposal: WorkProposal) -> WorkOrder | None:
    """Where the item stands that it was found at, else the newest order that is open on the instrument."""
    order = proposal.item.order
    if order.is_open:
        return order
    return WorkOrder.objects.open().filter(instrument=order.instrument_id).first()


def _goes_elsewhere(proposal: WorkProposal, order: WorkOrder) -> list[Problem]:
    found_at = proposal.item.order
    if order == found_at:
        return []
    words = f"{found_at.number}, where it was found, is closed: it goes into {order.number}, “{order.title}”."
    return [Caution(words, order.get_absolute_url())]


def declining_problems(proposal: WorkProposal, by) -> list[Problem]:
    """Why somebody may not decline it."""
    if answer := ProposalAnswer.objects.filter(proposal=proposal).select_related("answered_by").first():
        return [Blocker(answered_words(answer))]
    return _owners_only(by)


def item_at_work(proposal: WorkProposal) -> WorkItem | None:
    """The item that the finding became on another way, if it is not left."""
    links = ItemFinding.objects.filter(finding=proposal.finding_id).exclude(item__state=ItemState.LEFT)
    link = links.select_related("item__order").last()
    return link.item if link else None


def answered_words(answer: ProposalAnswer) -> str:
    """Who answered it and when, for the one who came second."""
    name = answer.answered_by.get_full_name() or answer.answered_by.get_username()
    when = timezone.localtime(answer.recorded_at)
    did = "agreed to" if answer.item_id else "declined"
    return f"{name} {did} it on {when:%-d %B %Y} at {when:%H:%M}."


def _owners_only(by) -> list[Problem]:
    return [] if by.has_perm(OWNERS_RIGHT) else [Blocker("Only the owner may decide this.")]
