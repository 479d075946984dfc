"""Key leads: the sizes in the drawer, the lever they work on, and every lead that went in or came out."""

from collections.abc import Iterable, Sequence
from datetime import date

from django.db import transaction

from instruments.actions.history import save_tracked
from instruments.calc.touchweight import KeyPlan, PlacedLead
from instruments.models import Instrument, KeyLead, KeyLeadTakenOut, LeadSize, LeverMeasure
from instruments.problems import Blocked, Blocker


@transaction.atomic
def keep_lead_size(*, size: LeadSize, by) -> LeadSize:
    """Add a size, or change one; the history keeps what it was."""
    done = "added" if size.pk is None else "changed"
    save_tracked(size, by=by, why=f"Lead size {done}: {size}")
    return size


@transaction.atomic
def measure_lever(*, instrument: Instrument, by, on: date, **measures) -> LeverMeasure:
    return LeverMeasure.objects.create(instrument=instrument, measured_on=on, measured_by=by, **measures)


@transaction.atomic
def record_found_leads(
    *, instrument: Instrument, leads: Sequence[tuple[int, PlacedLead]], by, on: date
) -> list[KeyLead]:
    """Leads that sit in the keys already; what is on file at the same place of the same key is left alone."""
    Instrument.objects.select_for_update().get(pk=instrument.pk)
    there = set(instrument.key_leads.in_place().values_list("key", "distance_mm"))
    kept = []
    for key, lead in leads:
        if (key, lead.distance_mm) not in there:
            there.add((key, lead.distance_mm))
            kept.append(_put_in(instrument, key, lead, by=by, on=on, was_found=True))
    return kept


@transaction.atomic
def record_moved_leads(*, instrument: Instrument, plans: Iterable[KeyPlan], by, on: date) -> list[KeyPlan]:
    """The leads of these keys were moved as planned: what came out, and what went in.

    Blocked, with nothing recorded, when a lead that the plan takes out is no longer on file.
    """
    Instrument.objects.select_for_update().get(pk=instrument.pk)
    treated = [plan for plan in plans if plan.is_treated]
    for plan in treated:
        for lead in plan.take_out:
            _take_out(instrument, plan.key, lead, by=by, on=on)
        for lead in plan.put_in:
            _put_in(instrument, plan.key, lead, by=by, on=on)
    return treated


def _put_in(instrument, key, lead: PlacedLead, *, by, on, was_found=False) -> KeyLead:
    return KeyLead.objects.create(
        instrument=instrument,
        key=key,
        mass_g=lead.size.mass_g,
        diameter_mm=lead.size.diameter_mm,
        distance_mm=lead.distance_mm,
        was_found=was_found,
        recorded_on=on,
        recorded_by=by,
    )


def _take_out(instrument, key, lead: PlacedLead, *, by, on) -> None:
    held = instrument.key_leads.in_place().filter(
        key=key, mass_g=lead.size.mass_g, distance_mm=lead.distance_mm
    )
    if (found := held.first()) is None:
        raise Blocked([Blocker("The leads of this key were changed meanwhile. Look at the plan again.")])
    KeyLeadTakenOut.objects.create(lead=found, recorded_on=on, recorded_by=by)
