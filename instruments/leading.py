"""The lead plan of a kept weigh-off, from what is on file of its keys."""

from collections import defaultdict
from dataclasses import dataclass

from instruments.calc import compass
from instruments.calc.touchweight import KeyPlan, KeyVerdict, PlacedLead, WeighOff, lead_plan
from instruments.calc.touchweight.lead_plan import LEAVE
from instruments.models import Instrument, LeadSize, LeverMeasure, Weighing
from instruments.touch import verdict_of


@dataclass(frozen=True)
class LeadPlan:
    """What to do at each key that is out. `waiting`: keys whose leads were moved since they were weighed."""

    weighing: Weighing
    lever: LeverMeasure
    sizes: list[LeadSize]
    touch: WeighOff
    keys: tuple[KeyPlan, ...]
    waiting: tuple[int, ...]

    @property
    def lines(self) -> list[tuple[KeyPlan, KeyVerdict]]:
        """The keys to be led, each with what it weighs now."""
        now = {key.key: key for key in self.touch.keys}
        return [(plan, now[plan.key]) for plan in self.treated]

    @property
    def treated(self) -> list[KeyPlan]:
        return [plan for plan in self.keys if plan.is_treated]

    @property
    def not_treated(self) -> list[KeyPlan]:
        return [plan for plan in self.keys if not plan.is_treated]

    @property
    def sentence(self) -> str:
        """The whole plan in a line."""
        if not self.keys:
            return "No key wants lead." if not self.waiting else "Every key that was out has been led."
        treated, others = len(self.treated), len(self.not_treated)
        words = [f"{_keys(treated)} can be brought inside by lead"] if treated else []
        words += [f"{_keys(others)} cannot, or not yet"] if others else []
        return f"{'; '.join(words).capitalize()}."


def lead_plan_of(weighing: Weighing, instrument: Instrument) -> LeadPlan | None:
    """None while nobody has measured the lever of these keys."""
    lever = instrument.lever_measures.first()
    if lever is None:
        return None
    sizes = list(LeadSize.objects.filter(in_use=True))
    touch = verdict_of(weighing, instrument)
    waiting = _moved_since(weighing, instrument)
    keys = [key for key in touch.keys if key.key not in waiting]
    plans = lead_plan(
        keys,
        lever_of={key.key: lever.lever(is_sharp=compass.is_sharp(key.key)) for key in keys},
        sizes=[size.as_size() for size in sizes],
        leads_in=_leads_in(instrument),
        tolerance_g=instrument.touch_tolerance_g,
        least_up_g=lever.least_up_g,
    )
    out = tuple(plan for plan in plans if plan.act != LEAVE)
    return LeadPlan(weighing, lever, sizes, touch, out, tuple(sorted(waiting)))


def _leads_in(instrument: Instrument) -> dict[int, tuple[PlacedLead, ...]]:
    leads = defaultdict(tuple)
    for lead in instrument.key_leads.in_place():
        leads[lead.key] += (lead.as_placed(),)
    return leads


def _moved_since(weighing: Weighing, instrument: Instrument) -> set[int]:
    """Keys whose leads changed after they were weighed: their figures no longer hold."""
    weighed = {row.key: row.taken_at or weighing.recorded_at for row in weighing.standing_readings()}
    put_in = instrument.key_leads.filter(was_found=False).values_list("key", "recorded_at")
    out = instrument.key_leads.filter(taken_out__isnull=False).values_list("key", "taken_out__recorded_at")
    return {key for key, moved in (*put_in, *out) if moved > weighed.get(key, weighing.recorded_at)}


def _keys(count: int) -> str:
    return f"{compass.count_word(count)} key{'' if count == 1 else 's'}"
