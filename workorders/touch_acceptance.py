"""A weigh-off closes its item when it is whole, newer than the work, and inside the curve at every key."""

from instruments.calc.compass import note_label
from instruments.calc.exact import plain
from instruments.calc.touchweight import KeyVerdict, WeighOff
from instruments.calc.touchweight.weighoff import SLOW_RETURN_G
from instruments.models import Weighing
from instruments.states import Stage
from workorders.lacking import Lacking, listed, older_than_the_work
from workorders.models import WorkItem
from workorders.touch import verdict_for

WHY_OUT = {
    "friction": "high down and low up, which is friction. Ease, lubricate or re-centre, then weigh again",
    "weight": "down and up both high, which is weight. Check springs and hammers before any lead",
    "light": "too light. Check springs and hammers before lead is taken out",
    "unknown": "without an up-weight nothing tells why. Take it, then weigh again",
}


NOT_AFTER = "the keys were not weighed off after the work"


def touch_problems(item: WorkItem, weighing: Weighing | None) -> list[Lacking]:
    """The weigh-off must be newer than the work it judges, whole, and inside the curve at every key."""
    if weighing is None:
        return [
            Lacking("Weigh the keys off after the work, then choose that weigh-off here.", publicly=NOT_AFTER)
        ]
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


def _taken_before_the_work(weighing: Weighing) -> list[Lacking]:
    if weighing.stage == Stage.AFTER_WORK:
        return []
    return [Lacking(f"{_which(weighing)} was taken as found. Weigh off after the work.", publicly=NOT_AFTER)]


def _still_open(weighing: Weighing) -> list[Lacking]:
    if not weighing.is_open:
        return []
    return [
        Lacking(
            f"{_which(weighing)} is still open. Close it first.", publicly="the weigh-off was not finished"
        )
    ]


def _older_than_the_work(item: WorkItem, weighing: Weighing) -> list[Lacking]:
    return older_than_the_work(
        item, weighing.weighed_on, _which(weighing), publicly=NOT_AFTER, and_do="Weigh again."
    )


def _not_weighed(weighing: Weighing, weighed: WeighOff) -> list[Lacking]:
    instrument = weighing.instrument
    compass = range(instrument.first_key, instrument.first_key + instrument.key_count)
    read = {key.key for key in weighed.keys}
    missing = [note_label(key) for key in compass if key not in read]
    if not missing:
        return []
    named = listed(missing)
    return [Lacking(f"Not weighed: {named}. Weigh every key.", publicly=f"not weighed: {named}")]


def _without_up_weight(weighed: WeighOff) -> list[Lacking]:
    names = [
        note_label(key.key)
        for key in weighed.keys
        if key.cause == "stuck" or (key.inside and key.up_g is None)
    ]
    if not names:
        return []
    named = listed(names)
    return [
        Lacking(
            f"No up-weight: {named}. The key did not return, or was not tried.",
            publicly=f"without an up-weight: {named}",
        )
    ]


def _slow_to_return(weighing: Weighing, weighed: WeighOff) -> list[Lacking]:
    """Sinking rightly is half of it: a key that lifts too little stays down under the hand."""
    lever = weighing.instrument.lever_measures.first()
    least = lever.least_up_g if lever else SLOW_RETURN_G
    slow = [key for key in weighed.keys if key.inside and key.up_g and key.up_g < least]
    if not slow:
        return []
    named = listed([f"{note_label(key.key)} ({plain(key.up_g)} g up)" for key in slow])
    is_or_are = "is" if len(slow) == 1 else "are"
    return [
        Lacking(
            f"{named} {is_or_are} slow to return: at least {plain(least)} g up is asked for. "
            "Ease, lubricate or re-centre, look at the springs, then weigh again.",
            publicly=f"slow to return: {named}",
        )
    ]


def _outside_the_curve(weighed: WeighOff) -> list[Lacking]:
    problems = []
    for cause, why in WHY_OUT.items():
        out = [key for key in weighed.keys if key.cause == cause]
        if out:
            is_or_are = "is" if len(out) == 1 else "are"
            named = listed([_with_grams(key) for key in out])
            problems.append(
                Lacking(
                    f"{named} {is_or_are} outside the curve: {why}.",
                    publicly=f"touch weight outside its curve: {named}",
                )
            )
    return problems


def _which(weighing: Weighing) -> str:
    return f"The weigh-off of {weighing.weighed_on:%-d %B %Y}"


def _with_grams(key: KeyVerdict) -> str:
    return f"{note_label(key.key)} ({plain(key.down_g)} g, {plain(round(key.target_g, 1))} g wanted)"
