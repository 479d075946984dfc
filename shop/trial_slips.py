"""What the one-page papers of a home trial say, gathered from the record and the ledger."""

from collections.abc import Callable
from datetime import date

from django.utils import timezone

from instruments.documents.content import Fact
from instruments.documents.dates import day_in_words
from instruments.models import ConditionReport
from instruments.walks import walk_of
from shop.actions.papers import person_party, shop_party
from shop.calc.access import access_cautions, flight_words, floor_words, turns_words
from shop.calc.home_air import HUMIDITY_WORDS
from shop.documents.trial_slip import SlipPart, TrialSlip
from shop.models import ShopProfile, Trial, TrialExtension
from shop.settlement import last_moved_on, settlement_facts, settlement_lines, settlement_sentence
from shop.states import PaperKind, TrialState
from shop.trial_life import TrialLife, life_of_trial

MOST_FAULTS = 10
AT_THE_DOOR = "written in at the door"
LEFT_OPEN = "This condition report is not closed: it may still change, and nobody has signed it as it stands."
HIRE = (
    "A loan that can run to three months may be regulated hire (Consumer Credit Act 1974, s. 15). Check the "
    "law in force; this is not legal advice."
)
NOT_ADVICE = "Rights that the law gives a consumer stay as they are; this is not legal advice."


def extension_slip(extension: TrialExtension) -> TrialSlip:
    trial = extension.trial
    days = (
        Fact("Last day until now", day_in_words(extension.ended_before)),
        Fact("Last day from now on", day_in_words(extension.until)),
        Fact("Agreed on", day_in_words(extension.agreed_on)),
    )
    return _slip(
        trial,
        title="Extension of a home trial",
        number=extension.number,
        dated=extension.agreed_on,
        sentence=f"More time for {trial.number}: to be kept, exchanged or returned by "
        f"{day_in_words(extension.until)}.",
        parts=(
            _instrument(trial),
            SlipPart("The days", facts=days, lines=(f"What was written: {extension.why}",)),
            SlipPart(
                "What stays",
                lines=("Everything else stays as the agreement has it: price, place, care and endings.",),
            ),
        ),
        cautions=(HIRE,),
    )


def delivery_slip(life: TrialLife) -> TrialSlip:
    """As it was delivered; before that, with lines to be filled in at the door."""
    trial, delivery = life.trial, life.delivery
    day = delivery.delivered_on if delivery else (life.mover.day if life.mover else trial.starts_on)
    there = (
        Fact("Delivered on", day_in_words(day) if delivery else AT_THE_DOOR),
        Fact("Received by", delivery.received_by if delivery else AT_THE_DOOR),
        Fact("Where it stands", delivery.room_position if delivery else AT_THE_DOOR),
        Fact("Heating", delivery.get_heating_display() if delivery else AT_THE_DOOR),
        Fact("Air on the day", _air_words(life, day) if delivery else AT_THE_DOOR),
        Fact("Moved by", life.mover.mover if life.mover else ""),
    )
    return _slip(
        trial,
        title="Delivery note",
        number=f"{trial.number}-D{trial.trialdelivery_rows.count() or 1}",
        dated=day,
        sentence=f"{trial.instrument.maker_name} {trial.instrument.stock_number} goes to {trial.person.name} "
        f"on home trial {trial.number}.",
        parts=(
            _instrument(trial),
            SlipPart("Handed over", facts=_told(there), lines=_besides(delivery)),
            _way_in(life),
            _condition("Its condition at the hand-over", life.hand_over),
        ),
        cautions=(
            f"It wants {HUMIDITY_WORDS} relative humidity and a place away from radiators and sun.",
            NOT_ADVICE,
        ),
    )


def collection_slip(life: TrialLife) -> TrialSlip:
    trial, collection = life.trial, life.collection
    day = (
        collection.collected_on if collection else (life.mover_back.day if life.mover_back else trial.ends_on)
    )
    mover = life.mover_back.mover if life.mover_back else ""
    there = (
        Fact("Collected on", day_in_words(day) if collection else AT_THE_DOOR),
        Fact("Handed over by", collection.handed_over_by if collection else AT_THE_DOOR),
        Fact("Fetched by", collection.mover if collection else mover or AT_THE_DOOR),
    )
    return _slip(
        trial,
        title="Collection note",
        number=f"{trial.number}-C{trial.trialcollection_rows.count() or 1}",
        dated=day,
        sentence=f"{trial.instrument.maker_name} {trial.instrument.stock_number} comes back from "
        f"{trial.person.name}.",
        parts=(
            _instrument(trial),
            SlipPart("Handed over", facts=there, lines=_besides(collection)),
            _way_in(life),
            _condition("Its condition when it went out", life.hand_over),
            _condition("Its condition as it came back", life.reports[1]),
        ),
        cautions=("Fair wear is not paid for; damage is agreed on before anything is deducted.", NOT_ADVICE),
    )


def settlement_slip(trial: Trial) -> TrialSlip:
    """What came in, line by line to where it went, and what stands there today."""
    money = SlipPart("The money", money=settlement_lines(trial))
    return _slip(
        trial,
        title="Settlement of a home trial",
        number=f"{trial.number}-S",
        dated=last_moved_on(trial),
        sentence=settlement_sentence(trial),
        parts=(_instrument(trial), money, SlipPart("Where it goes", facts=settlement_facts(trial))),
        cautions=(NOT_ADVICE,),
    )


def _slip(trial: Trial, **words) -> TrialSlip:
    return TrialSlip(shop=shop_party(ShopProfile.current()), customer=person_party(trial.person), **words)


def _instrument(trial: Trial) -> SlipPart:
    instrument = trial.instrument
    facts = (
        Fact("Maker", instrument.maker_name),
        Fact("Stock number", instrument.stock_number),
        Fact("Serial", instrument.serial or "none found"),
        Fact("Agreement", trial.number),
        Fact("Weight", f"about {instrument.weight_kg} kg" if instrument.weight_kg else "not weighed"),
        Fact("Its place", " ".join(trial.address.split())),
    )
    return SlipPart("The instrument", facts=facts)


def _way_in(life: TrialLife) -> SlipPart:
    access, instrument = life.access, life.trial.instrument
    size = {"weight_kg": instrument.weight_kg, "depth_cm": instrument.depth_cm}
    if access is None:
        lines = ("Nobody wrote down the way in.", *access_cautions(**size))
        return SlipPart("The way in, and lifting it", lines=lines)
    facts = (
        Fact("Up to", floor_words(access.floor), f"told by {access.told_by}"),
        Fact("Steps", flight_words(access.flights), turns_words(access.turns, access.landings)),
        Fact("Doors", f"{', '.join(map(str, access.doors_cm))} cm" if access.doors_cm else "not measured"),
        Fact("Vehicle", f"{access.parking_m} m away" if access.parking_m is not None else "not said"),
        Fact("Outside", access.surface),
    )
    cautions = access_cautions(
        steps=access.flights,
        door_widths_cm=access.doors_cm,
        parking_m=access.parking_m,
        has_lift=access.has_lift,
        **size,
    )
    return SlipPart("The way in, and lifting it", facts=_told(facts), lines=tuple(cautions))


def _condition(title: str, report: ConditionReport | None) -> SlipPart:
    if report is None:
        return SlipPart(title, lines=("No condition report was written.",))
    walk = walk_of(report)
    faults = [finding for finding in walk.findings if finding.is_fault]
    told = [
        f"{each.get_part_display()}: {each.note or each.get_condition_display().lower()}"
        for each in faults[:MOST_FAULTS]
    ]
    more = [f"and {len(faults) - MOST_FAULTS} more on the sheet"] if len(faults) > MOST_FAULTS else []
    looked = f"Condition sheet of {day_in_words(report.looked_on)}: {len(walk.lines)} parts looked at"
    found = f"{looked}, {len(faults) or 'no'} fault{'' if len(faults) == 1 else 's'}."
    still_open = [LEFT_OPEN] if report.is_open else []
    return SlipPart(title, lines=(found, *told, *more, *still_open))


def _air_words(life: TrialLife, day: date) -> str:
    reading = next((each.reading for each in life.climates if each.reading.read_on == day), None)
    return reading.air_words if reading else "not read"


def _besides(row) -> tuple[str, ...]:
    return (row.note,) if row and row.note else ()


def _told(facts: tuple[Fact, ...]) -> tuple[Fact, ...]:
    return tuple(fact for fact in facts if fact.value)


def slip_of(trial: Trial, kind: str) -> tuple[TrialSlip | None, bool]:
    """The words of one paper today, and whether what it tells has happened; None where it makes no sense."""
    if kind == PaperKind.TRIAL_EXTENSION:
        extension = trial.extensions.last()
        return (extension_slip(extension) if extension else None), True
    if kind == PaperKind.TRIAL_SETTLEMENT:
        return (settlement_slip(trial) if trial.state == TrialState.ENDED else None), True
    life = life_of_trial(trial, on=timezone.localdate())
    build: Callable = delivery_slip if kind == PaperKind.TRIAL_DELIVERY else collection_slip
    done = life.delivery if kind == PaperKind.TRIAL_DELIVERY else life.collection
    return build(life), done is not None
