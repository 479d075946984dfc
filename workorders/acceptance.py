"""What closes an item: photographs, a figure, its keys looked at again, or a measuring inside its limits."""

from collections.abc import Collection
from dataclasses import dataclass, field
from decimal import Decimal

from django.db.models import QuerySet

from instruments.calc.compass import note_label, parse_keys
from instruments.calc.exact import plain
from instruments.calc.key_lists import keys_text
from instruments.key_marks import key_strip_of
from instruments.models import KeyMark, Photo, PinSurvey, PitchSurvey, Weighing
from instruments.models.worded import ASKED, of_one
from instruments.problems import Blocker, Problem
from workorders.lacking import Lacking, day_of, listed, older_than_the_work
from workorders.models import WorkItem
from workorders.states import Acceptance
from workorders.survey_acceptance import pin_problems, pitch_problems
from workorders.touch_acceptance import touch_problems


@dataclass(frozen=True)
class Proof:
    """What is laid before an item to close it; `keys` are those looked at again and found right."""

    figure: Decimal | None = None
    weighing: Weighing | None = None
    pin_survey: PinSurvey | None = None
    pitch_survey: PitchSurvey | None = None
    photo: Photo | None = None
    photo_before: Photo | None = None
    rechecked: Collection[KeyMark] = field(default_factory=tuple)
    keys: Collection[int] = field(default_factory=tuple)


def evidence_problems(item: WorkItem, proof: Proof) -> list[Problem]:
    """Evidence from somewhere else proves nothing here, whoever says so."""
    home = item.order.instrument_id
    problems = [
        Blocker(f"That {what} was taken on another instrument.")
        for what, taken in (
            ("weigh-off", proof.weighing),
            ("survey of pins", proof.pin_survey),
            ("survey of pitch", proof.pitch_survey),
        )
        if taken and taken.instrument_id != home
    ]
    photos = [photo for photo in (proof.photo_before, proof.photo) if photo]
    if any(photo.instrument_id != home or photo.removed_at for photo in photos):
        problems.append(Blocker("That photograph is not one of this instrument's."))
    return problems


def acceptance_problems(item: WorkItem, **given) -> list[Lacking]:
    """What is missing before the item counts as done: given as `Proof` holds it.

    Only the owner may pass over it, with a reason.
    """
    proof = Proof(**given)
    return [*_proof_problems(item, proof), *recheck_problems(item, proof.rechecked)]


def recheck_problems(item: WorkItem, rechecked: Collection[KeyMark]) -> list[Lacking]:
    """Every marked key that the item was made for has to be looked at again, whatever the task asks for."""
    seen = {mark.pk for mark in rechecked}
    unseen = [mark for mark in _open_marks(item.pk).alone() if mark.pk not in seen]
    if not unseen:
        return []
    return [
        Lacking(
            f"{line.sign.words}, not looked at again: {line.keys}. Each key has to be right.",
            publicly=f"{line.sign.words.lower()}, not looked at again: {line.keys}",
        )
        for line in key_strip_of(item.order.instrument, marks=unseen).faults
    ]


@of_one
def _open_marks() -> QuerySet[KeyMark]:
    return KeyMark.objects.open().filter(item_links__item=ASKED)


def keys_asked_for(item: WorkItem) -> list[int]:
    """The keys an item concerns: those it lists and those marked for it, or where it names none, all."""
    instrument = item.order.instrument
    compass = range(instrument.first_key, instrument.first_key + instrument.key_count)
    marked = KeyMark.objects.filter(item_links__item=item).values_list("key", flat=True)
    wanted = {*_keys_listed(item), *marked} & set(compass)
    return sorted(wanted or compass)


def figure_problems(item: WorkItem, figure: Decimal | None) -> list[Lacking]:
    if figure is None:
        return [
            Lacking(
                f"Measure first: {item.figure_name}, in {item.figure_unit}.",
                publicly=f"{item.figure_name} was not measured",
            )
        ]
    read = f"{plain(figure)} {item.figure_unit}"
    publicly = f"{item.figure_name} is {read}, where {item.limits_words} is asked for"
    if item.figure_low is not None and figure < item.figure_low:
        sentence = f"{read} is too little: {item.figure_name} has to be {item.limits_words}."
        return [Lacking(sentence, publicly=publicly)]
    if item.figure_high is not None and figure > item.figure_high:
        sentence = f"{read} is too much: {item.figure_name} has to be {item.limits_words}."
        return [Lacking(sentence, publicly=publicly)]
    return []


def _proof_problems(item: WorkItem, proof: Proof) -> list[Lacking]:
    match item.acceptance:
        case Acceptance.PHOTO:
            return photo_problems(item, proof.photo, own_work=False)
        case Acceptance.PAIR:
            return pair_problems(item, proof.photo_before, proof.photo)
        case Acceptance.KEYS:
            return _keys_problems(item, proof)
        case Acceptance.FIGURE:
            return figure_problems(item, proof.figure)
        case Acceptance.TOUCH:
            return touch_problems(item, proof.weighing)
        case Acceptance.PINS:
            return pin_problems(item, proof.pin_survey)
        case Acceptance.PITCH:
            return pitch_problems(item, proof.pitch_survey)
    return []


def photo_problems(item: WorkItem, photo: Photo | None, *, own_work: bool = True) -> list[Lacking]:
    if photo is None:
        return [Lacking("Add a photograph after the work.", publicly="no photograph after the work")]
    return older_than_the_work(
        item,
        day_of(photo),
        f"The photograph of {day_of(photo):%-d %B %Y}",
        publicly="no photograph after the work",
        and_do="Take one of how it is now.",
        own_work=own_work,
    )


def pair_problems(item: WorkItem, before: Photo | None, after: Photo | None) -> list[Lacking]:
    """Two different photographs, the one before no younger than the one after the work."""
    missing = []
    if before is None:
        missing.append(
            Lacking(
                "Choose or add a photograph from before the work.", publicly="no photograph before the work"
            )
        )
    missing += photo_problems(item, after)
    if missing or before is None or after is None:
        return missing
    if before.pk == after.pk:
        return [
            Lacking(
                "Before and after are the same photograph. Two are asked for.",
                publicly="one photograph in place of two",
            )
        ]
    if day_of(before) > day_of(after):
        return [
            Lacking(
                f"The photograph before the work, of {day_of(before):%-d %B %Y}, is younger than the one "
                f"after, of {day_of(after):%-d %B %Y}. Were they changed over?",
                publicly="no photograph before the work",
            )
        ]
    return []


def _keys_problems(item: WorkItem, proof: Proof) -> list[Lacking]:
    """Each key listed; where none is, each of the compass. Marked ones are named by their mark."""
    seen = {*proof.keys, *(mark.key for mark in proof.rechecked)}
    marked = KeyMark.objects.open().filter(item_links__item=item).values_list("key", flat=True)
    unseen = [key for key in keys_asked_for(item) if key not in seen and key not in set(marked)]
    if not unseen:
        return []
    instrument = item.order.instrument
    text = keys_text(unseen, instrument.first_key, instrument.key_count)
    named = text if len(unseen) > 1 else listed([note_label(key) for key in unseen])
    return [
        Lacking(
            f"Not looked at again: {named}. Try each key; it closes when every one is right.",
            publicly=f"not looked at again key by key: {named}",
        )
    ]


def _keys_listed(item: WorkItem) -> tuple[int, ...]:
    instrument = item.order.instrument
    try:
        return parse_keys(item.keys, instrument.first_key, instrument.key_count)
    except ValueError:
        return ()
