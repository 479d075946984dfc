"""Parts looked at without being graded: by tell-tales, by measuring, by marks at keys, by work on them."""

from collections.abc import Iterator
from dataclasses import dataclass
from datetime import date

from django.db.models import Max
from django.utils import timezone

from instruments.key_faults import SIGNS, FaultKind, KeyFault
from instruments.models import Instrument
from instruments.states import Part
from workorders.models import WorkItem

PART_OF_QUESTION = {
    "strings": Part.STRINGS,
    "hammers": Part.HAMMERS,
    "case": Part.CASE,
    "key-tops": Part.KEY_TOPS,
    "key-top-material": Part.KEY_TOPS,
    "plank-and-pins": Part.PINS,
    "moth": Part.PESTS,
    "damp": Part.DAMP,
}
OF_A_PART_OF_IT = {"moth": "tell-tales of moth looked for"}  # its part is moth and woodworm
PART_OF_FAULT = {
    **{
        fault: {
            FaultKind.KEY: Part.KEYS,
            FaultKind.ACTION: Part.ACTION,
            FaultKind.STRING: Part.STRINGS,
            FaultKind.COVERING: Part.KEY_TOPS,
        }[sign.kind]
        for fault, sign in SIGNS.items()
    },
    KeyFault.LOOSE_PIN: Part.PINS,
    KeyFault.NO_DAMPING: Part.DAMPERS,
}
# By the code of the task in the library; work that concerns no one part is not here.
PART_OF_WORK = {
    code: part
    for part, codes in {
        Part.CASE: ("repair-case", "french-polish", "refit-case"),
        Part.CASTORS: ("check-castors",),
        Part.PINS: ("test-pins", "repin"),
        Part.FRAME: ("check-frame",),
        Part.DAMP: ("clear-mould",),
        Part.ACTION: (
            *("tighten-screws", "lubricate-action", "set-blow"),
            *("set-let-off", "set-checks", "regulate-fine"),
        ),
        Part.HAMMERS: ("reface-hammers", "fit-hammers", "space-hammers", "voice"),
        Part.CENTRES: ("recentre",),
        Part.SPRINGS: ("renew-butt-springs", "renew-tapes"),
        Part.DAMPERS: ("renew-dampers", "set-dampers"),
        Part.STRINGS: ("renew-bass-strings", "renew-single-strings", "restring", "clean-strings"),
        Part.KEY_TOPS: ("repair-key-tops", "recover-keys"),
        Part.KEYS: (
            *("clean-keys", "mend-broken-keys", "secure-key-leads", "renew-key-baizes", "rebush-keys"),
            *("ease-keys", "level-keys", "set-dip"),
        ),
        Part.PESTS: ("clear-pests",),
        Part.PEDALS: ("set-pedals",),
        Part.BRIDGES: ("repair-bridges",),
        Part.SOUNDBOARD: ("repair-soundboard",),
    }.items()
    for code in codes
}


@dataclass(frozen=True)
class Look:
    """What was done to see how a part stands, and the last day it was."""

    part: str
    how: str
    on: date

    def __str__(self) -> str:
        return f"{self.how} on {self.on:%-d %B %Y}"


def looks_at(instrument: Instrument) -> dict[str, list[Look]]:
    """By part, in a fixed number of queries; of each way of looking the last day."""
    last: dict[tuple[str, str], date] = {}
    for look in _looks(instrument):
        place = (look.part, look.how)
        last[place] = max(look.on, last.get(place, look.on))
    found: dict[str, list[Look]] = {}
    for (part, how), on in last.items():
        found.setdefault(part, []).append(Look(part, how, on))
    return found


def _looks(instrument: Instrument) -> Iterator[Look]:
    asked = instrument.sightings.seen().order_by("tell_tale__question")
    for question, on in asked.values_list("tell_tale__question").annotate(on=Max("seen_on")):
        if part := PART_OF_QUESTION.get(question):
            yield Look(part, OF_A_PART_OF_IT.get(question, "tell-tales looked for"), on)
    yield from _last(Part.KEYS, "weighed off", instrument.weighings.closed(), "weighed_on")
    yield from _last(Part.PINS, "turning force measured", instrument.pin_surveys, "measured_on")
    yield from _last(Part.STRINGS, "pitch measured", instrument.pitch_surveys, "measured_on")
    yield from _last(Part.STRINGS, "wire measured", instrument.wire_surveys, "measured_on")
    marks = instrument.key_marks.order_by("fault").values_list("fault").annotate(on=Max("marked_on"))
    for fault, on in marks:
        yield Look(PART_OF_FAULT[fault], "faults marked key by key", on)
    done = WorkItem.objects.filter(order__instrument=instrument, task__code__in=PART_OF_WORK).done()
    for code, at in done.order_by("task__code").values_list("task__code").annotate(at=Max("closed_at")):
        yield Look(PART_OF_WORK[code], "work finished", timezone.localdate(at))


def _last(part: str, how: str, rows, day: str) -> Iterator[Look]:
    on = rows.aggregate(on=Max(day))["on"]
    if on:
        yield Look(part, how, on)
