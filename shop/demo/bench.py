"""Work orders of the invented shop: opened, worked through in the order of work, closed by their proof."""

from datetime import date, timedelta
from decimal import Decimal

from instruments.actions.photos import add_photos, describe_photo
from instruments.models import Photo
from instruments.states import PitchStage
from shop.demo.diary import Diary
from shop.demo.measures import read_tuning, tried_as_told, try_pins
from shop.demo.pieces import Order, Step
from shop.demo.shop_at_work import ShopAtWork
from shop.demo.touch import weigh
from workorders.acceptance import keys_asked_for
from workorders.actions.bench import log_time, use_part
from workorders.actions.items import assign_item, close_item, leave_item
from workorders.actions.orders import close_order, open_order
from workorders.models import WorkItem, WorkOrder
from workorders.states import Acceptance

SETTLING, DAYS_TO_SETTLE = "settle-and-retune", 16
STAGES = {"pitch-raise": PitchStage.AFTER_RAISE, SETTLING: PitchStage.SETTLED}


def tell_order(key: str, order: Order, shop: ShopAtWork, diary: Diary) -> None:
    due_on = None if order.due_in is None else diary.today + timedelta(days=order.due_in)
    diary.on(order.opened, lambda on: begin(key, order, due_on, shop, on))
    for step, days_ago in zip(order.steps, days_of(order), strict=True):
        diary.on(days_ago, lambda on, step=step: do_step(key, step, shop, on))
    if order.closed is not None:
        diary.on(order.closed, lambda on: call_ready(key, order, shop, on))


def days_of(order: Order) -> list[int]:
    """Days spread evenly over the time the order was worked on, but that a tuning must settle."""
    tasks, count = [step.task for step in order.steps], len(order.steps)
    settles_at = tasks.index(SETTLING) if SETTLING in tasks else count
    waits = DAYS_TO_SETTLE if SETTLING in tasks else 0
    span = order.opened - order.last_day - waits
    return [
        order.opened - round(span * number / (count + 1)) - waits * (number > settles_at)
        for number in range(1, count + 1)
    ]


def begin(key: str, order: Order, due_on: date | None, shop: ShopAtWork, on: date) -> None:
    left = dict(order.left)
    codes = [*(step.task for step in order.steps), *left, *order.waiting]
    opened = open_order(
        instrument=shop.instrument(key),
        title=order.title,
        tasks=shop.tasks(codes),
        note=order.note,
        due_on=due_on,
        by=shop.staff["olive"],
        on=on,
    )
    for item in opened.items.select_related("task"):
        shop.items[key, item.task.code] = item
        if item.task.code in left:
            leave_item(item=item, reason=left[item.task.code], by=shop.staff["olive"], on=on)
        elif item.task.code in order.waiting and order.for_whom:
            assign_item(item=item, to=shop.staff[order.for_whom], by=shop.staff["olive"], on=on)


def do_step(key: str, step: Step, shop: ShopAtWork, on: date) -> None:
    """Write down the time and parts of one job, then close it by what its acceptance asks for."""
    worker = shop.staff[step.who]
    item = shop.items[key, step.task]
    log_time(item=item, person=worker, minutes=step.minutes, by=worker, on=on)
    for name, quantity, pounds in step.parts:
        use_part(item=item, name=name, quantity=Decimal(quantity), cost_minor=pounds * 100, by=worker, on=on)
    shown = proof(key, item, step, shop, on)
    if step.accepted:
        shown |= {"override_reason": step.accepted, "overridden_by": shop.staff["olive"]}
    close_item(item=item, result=step.result, **shown, by=worker, on=on)


def proof(key: str, item: WorkItem, step: Step, shop: ShopAtWork, on: date) -> dict:
    if item.acceptance == Acceptance.FIGURE:
        return {"figure": Decimal(step.figure)}
    if item.acceptance == Acceptance.PHOTO:
        return {"photo": photo_after(key, step.task, shop)}
    if item.acceptance == Acceptance.TOUCH:
        return {"weighing": weigh(key, step.weighed, shop, on)}
    if item.acceptance == Acceptance.PAIR:
        return {"photo_before": shop.photos[key][0], "photo": photo_after(key, step.task, shop)}
    if item.acceptance == Acceptance.KEYS:
        return {"keys": keys_asked_for(item)}
    if item.acceptance == Acceptance.PINS:
        return {"pin_survey": try_pins(tried_as_told(key, step.result), shop, on)}
    if item.acceptance == Acceptance.PITCH:
        stage = STAGES.get(step.task, PitchStage.AFTER_TUNING)
        return {"pitch_survey": read_tuning(key, stage, float(step.figure), shop, on)}
    return {}


def photo_after(key: str, task: str, shop: ShopAtWork) -> Photo:
    shot, by = shop.shots_after[key, task].result(), shop.staff["tobias"]
    (photo,) = add_photos(instrument=shop.instrument(key), prepared=[shot.photo], by=by).new
    return describe_photo(photo=photo, by=by, shot=shot.kind, caption=shot.caption)


def call_ready(key: str, order: Order, shop: ShopAtWork, on: date) -> None:
    opened = WorkOrder.objects.get(instrument=shop.instrument(key), title=order.title)
    close_order(order=opened, by=shop.staff[order.for_whom], on=on)
