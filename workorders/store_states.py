"""Kinds of what the bench uses up, what moves it, and how far work that is sent out has got."""

from django.db.models import TextChoices


class ConsumableKind(TextChoices):
    STRINGS = "strings", "Steel wire"
    WOUND = "wound", "Wound strings"
    CENTRE_PINS = "centre_pins", "Centre pins"
    WREST_PINS = "wrest_pins", "Wrest pins"
    LEADS = "leads", "Key leads"
    FELT = "felt", "Felt and cloth"
    GLUE = "glue", "Glue"
    LUBRICANT = "lubricant", "Lubricants and cleaners"
    OTHER = "other", "Other"


# What is bought by a size that makers number each in their own way: the millimetres go with it.
SIZED_KINDS = {ConsumableKind.CENTRE_PINS, ConsumableKind.WREST_PINS}


class Unit(TextChoices):
    EACH = "each", "each"
    METRE = "m", "m"
    GRAM = "g", "g"
    MILLILITRE = "ml", "ml"
    SHEET = "sheet", "sheets"


class GaugeTable(TextChoices):
    AMERICAN = "american", "American table"
    METRIC = "metric", "Metric table"


class Hazard(TextChoices):
    NONE = "", "Nothing in particular"
    LEAD = "lead", "Lead"
    SOLVENT = "solvent", "Solvent: fumes and fire"


# Work with lead: CHECKS section 12 (Control of Lead at Work Regulations 2002); the rest is common practice.
HAZARD_WORDS = {
    Hazard.LEAD: (
        "Lead. No eating, drinking or smoking at the bench, and wash your hands after; cut and press it "
        "cold; take up dust and offcuts wet or with an H-class vacuum, never by sweeping; keep them apart."
    ),
    Hazard.SOLVENT: (
        "Fumes that burn and harm. Open windows, no flame, spark or hot iron near it, gloves on; close the "
        "tin, and keep soaked rags in a lidded metal bin. Read its safety sheet first."
    ),
}


class Movement(TextChoices):
    """What makes the quantity of a consumable more or less."""

    DELIVERY = "delivery", "Delivered"
    UNDELIVERED = "undelivered", "Delivery taken back"
    USED = "used", "Used"
    RETURNED = "returned", "Taken back from an item"
    COUNTED = "counted", "Counted"
    WRITTEN_OFF = "written_off", "Written off"


class OutsideKind(TextChoices):
    POLISHING = "polishing", "Polishing"
    BASS_STRINGS = "bass_strings", "Bass strings"
    KEY_TOPS = "key_tops", "Key tops"
    HAMMERS = "hammers", "Hammers"
    ACTION = "action", "Action parts"
    IRONWORK = "ironwork", "Frame and ironwork"
    TUNING = "tuning", "Tuning"
    OTHER = "other", "Other"


class Goes(TextChoices):
    """What leaves the house for work outside."""

    PARTS = "parts", "Parts of it go"
    WHOLE = "whole", "The whole instrument goes"
    NOTHING = "nothing", "Nothing goes: they come to us"


class OutsideState(TextChoices):
    ASKED = "asked", "Asked for a price"
    SENT = "sent", "With them"
    BACK = "back", "Done and back"
    CANCELLED = "cancelled", "Cancelled"
