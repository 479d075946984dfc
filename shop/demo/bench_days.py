"""Days at the invented bench: the timer, a note, and what else was found and put to the owner."""

from datetime import date, timedelta

from django.utils import timezone

from shop.demo.diary import Diary
from shop.demo.shop_at_work import ShopAtWork
from workorders.actions.notes import note_at_bench
from workorders.actions.proposals import accept_proposal, decline_proposal, propose_work
from workorders.actions.timers import pause_timer, start_timer
from workorders.models import WorkProposal

AT_WORK = ("thursby-1904", "ease-keys")
AT_TOUCH = ("tarnbrook-1926", "set-touch-weight")
# Days ago, at which item, by whom: part, condition, note, minutes.
FOUND = (
    (5, AT_WORK, "tobias", ("pedals", "attend", "The trapwork squeaks at its left pin.", 30)),
    (4, AT_WORK, "tobias", ("castors", "attend", "One castor is smaller than the other three.", 60)),
    (1, AT_TOUCH, "ines", ("fall", "attend", "A hinge screw of the fall has lost its hold.", 20)),
)
MINUTES_AT_WORK = 85


def tell_bench_days(shop: ShopAtWork, diary: Diary) -> None:
    diary.on(6, lambda on: stand_at_bench(shop))
    for days_ago, at, who, found in FOUND:
        diary.on(days_ago, lambda on, at=at, who=who, found=found: find(at, who, found, shop, on))
    diary.on(3, lambda on: answer(shop, on))


def stand_at_bench(shop: ShopAtWork) -> None:
    item, worker, now = shop.items[AT_WORK], shop.staff["tobias"], timezone.now()
    start_timer(item=item, by=worker, at=now - timedelta(minutes=MINUTES_AT_WORK))
    pause_timer(by=worker, at=now)
    note_at_bench(item=item, words="Eased up to C3; the rest of the sharps tomorrow.", by=worker)


def find(at: tuple[str, str], who: str, found: tuple, shop: ShopAtWork, on: date) -> None:
    part, condition, note, minutes = found
    propose_work(
        item=shop.items[at],
        part=part,
        condition=condition,
        note=note,
        usual_minutes=minutes,
        by=shop.staff[who],
        on=on,
    )


def answer(shop: ShopAtWork, on: date) -> None:
    """Of the first two the owner has one done, and says why the other is left."""
    squeak, castor = WorkProposal.objects.order_by("id")[:2]
    (task,) = shop.tasks(["set-pedals"])
    accept_proposal(proposal=squeak, task=task, usual_minutes=30, by=shop.staff["olive"], on=on)
    reason = "It stands firm. A matching castor when one comes in."
    decline_proposal(proposal=castor, reason=reason, by=shop.staff["olive"], on=on)
