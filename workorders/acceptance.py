"""What closes an item: a photograph, a figure, a weigh-off inside the curve, its keys looked at again."""

from collections.abc import Collection, Sequence
from decimal import Decimal

from django.utils import timezone

from instruments.calc.compass import note_label
from instruments.calc.exact import plain
from instruments.calc.touchweight import KeyVerdict, WeighOff
from instruments.calc.touchweight.weighoff import SLOW_RETURN_G
from instruments.key_marks import key_strip_of
from instruments.models import KeyMark, Photo, Weighing
from instruments.problems import Blocker, Problem
from instruments.states import Stage
from workorders.models import WorkItem
from workorders.states import Acceptance, ItemState
from workorders.touch import verdict_for

NAMED_AT_MOST = 12
WHY_OUT = {
    "friction": "high down and low up, which is friction. Ease, lubricate or re-centre, then weigh again",
    "weight": "down and up both high, which is weight. Check springs and hammers before any lead",
    "light": "too light. Check springs and hammers before lead is taken out",
    "unknown": "without an up-weight nothing tells why. Take it, then weigh again",
}


def evidence_problems(
    item: WorkItem, *, weighing: Weighing | None = None, photo: Photo | None = None
) -> list[Problem]:
    """Evidence from somewhere else proves nothing here, whoever says so."""
    problems = []
    if weighing and weighing.instrument_id != item.order.instrument_id:
        problems.append(Blocker("That weigh-off was taken on another instrument."))
    if photo and (photo.instrument_id != item.order.instrument_id or photo.removed_at):
        problems.append(Blocker("That photograph is not one of this instrument's."))
    return problems


def acceptance_problems(
    item: WorkItem,
    *,
    figure: Decimal | None = None,
    weighing: Weighing | None = None,
    photo: Photo | None = None,
    rechecked: Collection[KeyMark] = (),
) -> list[Problem]:
    """What is missing before the item counts as done. Only the owner may pass over it, with a reason."""
    proof = _proof_problems(item, figure=figure, weighing=weighing, photo=photo)
    return [*proof, *recheck_problems(item, rechecked)]


def recheck_problems(item: WorkItem, rechecked: Collection[KeyMark]) -> list[Problem]:
    """Every marked key that the item was made for has to be looked at again, whatever the task asks for."""
    seen = {mark.pk for mark in rechecked}
    marks = KeyMark.objects.open().filter(item_links__item=item)
    unseen = [mark for mark in marks if mark.pk not in seen]
    return [
        Blocker(f"{line.sign.words}, not looked at again: {line.keys}. Each key has to be right.")
        for line in key_strip_of(item.order.instrument, marks=unseen).faults
    ]


def _proof_problems(
    item: WorkItem, *, figure: Decimal | None, weighing: Weighing | None, photo: Photo | None
) -> list[Problem]:
    match item.acceptance:
        case Acceptance.PHOTO:
            return [] if photo else [Blocker("Add a photograph after the work.")]
        case Acceptance.FIGURE:
            return figure_problems(item, figure)
        case Acceptance.TOUCH:
            return touch_problems(item, weighing)
    return []


def figure_problems(item: WorkItem, figure: Decimal | None) -> list[Problem]:
    if figure is None:
        return [Blocker(f"Measure first: {item.figure_name}, in {item.figure_unit}.")]
    read = f"{plain(figure)} {item.figure_unit}"
    if item.figure_low is not None and figure < item.figure_low:
        return [Blocker(f"{read} is too little: {item.figure_name} has to be {item.limits_words}.")]
    if item.figure_high is not None and figure > item.figure_high:
        return [Blocker(f"{read} is too much: {item.figure_name} has to be {item.limits_words}.")]
    return []


def touch_problems(item: WorkItem, weighing: Weighing | None) -> list[Problem]:
    """The weigh-off must be newer than the work it judges, whole, and inside the curve at every key."""
    if weighing is None:
        return [Blocker("Weigh the keys off after the work, then choose that weigh-off here.")]
    weighed = verdict_for(item.order, weighing)
    return [
        *_still_open(weighing),
        *_taken_before_the_work(weighing),
        *_older_than_the_work(item, weighing),
        *_not_weighed(weighing, weighed),
        *_without_up_weight(weighed),
        *_slow_to_return(weighing, weighed),
        *_outside_the_curve(weighed),
    ]


def _taken_before_the_work(weighing: Weighing) -> list[Problem]:
    if weighing.stage == Stage.AFTER_WORK:
        return []
    return [
        Blocker(
            f"The weigh-off of {weighing.weighed_on:%-d %B %Y} was taken as found. Weigh off after the work."
        )
    ]


def _still_open(weighing: Weighing) -> list[Problem]:
    if not weighing.is_open:
        return []
    return [Blocker(f"The weigh-off of {weighing.weighed_on:%-d %B %Y} is still open. Close it first.")]


def _older_than_the_work(item: WorkItem, weighing: Weighing) -> list[Problem]:
    last = item.needs.filter(state=ItemState.DONE).order_by("-closed_at").first()
    if last is None or weighing.weighed_on >= (done_on := timezone.localdate(last.closed_at)):
        return []
    return [
        Blocker(
            f"The weigh-off of {weighing.weighed_on:%-d %B %Y} is older than “{last.name}”, "
            f"done on {done_on:%-d %B %Y}. Weigh again."
        )
    ]


def _not_weighed(weighing: Weighing, weighed: WeighOff) -> list[Problem]:
    instrument = weighing.instrument
    compass = range(instrument.first_key, instrument.first_key + instrument.key_count)
    read = {key.key for key in weighed.keys}
    missing = [key for key in compass if key not in read]
    if not missing:
        return []
    return [Blocker(f"Not weighed: {_listed([note_label(key) for key in missing])}. Weigh every key.")]


def _without_up_weight(weighed: WeighOff) -> list[Problem]:
    names = [
        note_label(key.key)
        for key in weighed.keys
        if key.cause == "stuck" or (key.inside and key.up_g is None)
    ]
    if not names:
        return []
    return [Blocker(f"No up-weight: {_listed(names)}. The key did not return, or was not tried.")]


def _slow_to_return(weighing: Weighing, weighed: WeighOff) -> list[Problem]:
    """Sinking rightly is half of it: a key that lifts too little stays down under the hand."""
    lever = weighing.instrument.lever_measures.first()
    least = lever.least_up_g if lever else SLOW_RETURN_G
    slow = [key for key in weighed.keys if key.inside and key.up_g and key.up_g < least]
    if not slow:
        return []
    named = _listed([f"{note_label(key.key)} ({plain(key.up_g)} g up)" for key in slow])
    is_or_are = "is" if len(slow) == 1 else "are"
    return [
        Blocker(
            f"{named} {is_or_are} slow to return: at least {plain(least)} g up is asked for. "
            "Ease, lubricate or re-centre, look at the springs, then weigh again."
        )
    ]


def _outside_the_curve(weighed: WeighOff) -> list[Problem]:
    problems = []
    for cause, why in WHY_OUT.items():
        out = [key for key in weighed.keys if key.cause == cause]
        if out:
            is_or_are = "is" if len(out) == 1 else "are"
            problems.append(
                Blocker(f"{_listed([_with_grams(key) for key in out])} {is_or_are} outside the curve: {why}.")
            )
    return problems


def _with_grams(key: KeyVerdict) -> str:
    return f"{note_label(key.key)} ({plain(key.down_g)} g, {plain(round(key.target_g, 1))} g wanted)"


def _listed(names: Sequence[str]) -> str:
    shown, more = list(names[:NAMED_AT_MOST]), len(names) - NAMED_AT_MOST
    if more > 0:
        shown.append(f"{more} more")
    return shown[0] if len(shown) == 1 else f"{', '.join(shown[:-1])} and {shown[-1]}"
