"""Touch weight: the figures of one key, and the judgement of a whole weigh-off."""

from instruments.calc.touchweight.formulas import (
    balance_weight_g,
    down_and_up_g,
    friction_g,
    key_stick_friction_band,
    lead_effect_g,
    lead_inertia_g_mm2,
    lead_mass_g,
    lead_needed_g,
    target_g,
)
from instruments.calc.touchweight.lead_plan import KeyPlan, LeadSize, Lever, PlacedLead, lead_plan
from instruments.calc.touchweight.report import Asked, Comparison, asked_of, compare
from instruments.calc.touchweight.weighoff import (
    HIGH_FRICTION_G,
    SLOW_RETURN_G,
    KeyVerdict,
    Reading,
    Summary,
    WeighOff,
    verdict,
)

__all__ = [
    "HIGH_FRICTION_G",
    "SLOW_RETURN_G",
    "Asked",
    "Comparison",
    "KeyPlan",
    "KeyVerdict",
    "LeadSize",
    "Lever",
    "PlacedLead",
    "Reading",
    "Summary",
    "WeighOff",
    "asked_of",
    "balance_weight_g",
    "compare",
    "down_and_up_g",
    "friction_g",
    "key_stick_friction_band",
    "lead_effect_g",
    "lead_inertia_g_mm2",
    "lead_mass_g",
    "lead_needed_g",
    "lead_plan",
    "target_g",
    "verdict",
]
