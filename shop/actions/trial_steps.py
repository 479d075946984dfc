"""The steps of a home trial between its draft and its settlement, each written down once and kept."""

from datetime import date
from decimal import Decimal

from django.db import IntegrityError, transaction

from instruments.actions.documents import add_document
from instruments.actions.measures import record_climate
from instruments.problems import refuse_if_blocked
from instruments.states import WhoMaySee, Whose
from shop.actions.promises import AlreadyClosed
from shop.actions.trial_moves import bring_back, take_out
from shop.models import AccessSurvey, HomeClimate, MoverBooking, Trial, TrialCollection, TrialDelivery
from shop.trial_problems import (
    climate_step_problems,
    collection_problems,
    delivery_problems,
    mover_problems,
    survey_problems,
)

WRITTEN_ALREADY = "Somebody wrote this down a moment ago. Look at it again before you correct it."


@transaction.atomic
def survey_access(*, trial: Trial, stored=None, by, on: date, **way_in) -> AccessSurvey:
    """The way in, as told or seen, with a picture that `stored_scan` put away. The newest stands."""
    trial = _locked(trial)
    refuse_if_blocked(survey_problems(trial, asked_on=way_in["asked_on"], on=on))
    picture = None
    if stored:
        picture = add_document(
            instrument=trial.instrument,
            by=by,
            title=f"Way in, {trial.number}",
            dated=way_in["asked_on"].isoformat(),
            seen_by=WhoMaySee.STAFF,
            **stored.fields,
        )
        stored.keep()
    return AccessSurvey.objects.create(trial=trial, picture=picture, recorded_by=by, **way_in)


@transaction.atomic
def agree_mover(*, trial: Trial, leg: str, day: date, by, on: date, **agreed) -> MoverBooking:
    """Who moves it, when, for what. The newest word for each way stands."""
    trial = _locked(trial)
    refuse_if_blocked(mover_problems(trial, leg, day=day, on=on))
    return MoverBooking.objects.create(trial=trial, leg=leg, day=day, recorded_by=by, **agreed)


@transaction.atomic
def record_delivery(*, trial: Trial, air: dict | None = None, by, on: date, **facts) -> TrialDelivery:
    """It stands in its room: whereabouts follow, and the air is written down where it was measured.

    Recorded again, it corrects what was recorded before.
    """
    trial = _locked(trial)
    before = trial.trialdelivery_rows.first()
    refuse_if_blocked(delivery_problems(trial, delivered_on=facts["delivered_on"], on=on))
    delivery = _once(TrialDelivery, trial, before, by, facts)
    take_out(trial=trial, by=by, on=facts["delivered_on"])
    if air:
        _air(trial, by=by, on=facts["delivered_on"], **air)
    return delivery


@transaction.atomic
def record_home_climate(*, trial: Trial, by, on: date, **air) -> HomeClimate:
    """The air at the customer's: `told_by` names who told it, and is empty where we measured."""
    trial = _locked(trial)
    refuse_if_blocked(climate_step_problems(trial))
    return _air(trial, by=by, on=on, **air)


@transaction.atomic
def record_collection(*, trial: Trial, by, on: date, **facts) -> TrialCollection:
    """It was fetched: whereabouts follow. Recorded again, it corrects what was recorded before."""
    trial = _locked(trial)
    before = trial.trialcollection_rows.first()
    refuse_if_blocked(collection_problems(trial, collected_on=facts["collected_on"], on=on))
    collection = _once(TrialCollection, trial, before, by, facts)
    if before is None:
        bring_back(trial=trial, by=by, on=facts["collected_on"])
    return collection


def _locked(trial: Trial) -> Trial:
    rows = Trial.objects.select_for_update(of=("self",)).select_related("instrument", "person", "promise")
    return rows.get(pk=trial.pk)


def _once(model, trial: Trial, before, by, facts: dict):
    try:
        with transaction.atomic():
            return model.objects.create(trial=trial, corrects=before, recorded_by=by, **facts)
    except IntegrityError:
        raise AlreadyClosed(WRITTEN_ALREADY) from None


def _air(
    trial: Trial,
    *,
    temperature_c: Decimal,
    humidity_percent: Decimal,
    room: str,
    told_by: str = "",
    note: str = "",
    by,
    on: date,
) -> HomeClimate:
    reading = record_climate(
        room=room,
        temperature_c=temperature_c,
        humidity_percent=humidity_percent,
        whose=Whose.CUSTOMER,
        instrument=trial.instrument,
        note=f"Told, on {trial.number}" if told_by else trial.number,
        by=by,
        on=on,
    )
    return HomeClimate.objects.create(
        trial=trial, reading=reading, told_by=told_by, note=note, recorded_by=by
    )
