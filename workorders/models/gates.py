"""Structure before looks, asked of the database: what of an instrument's structure is open or found wanting.

Of each task the newest item counts; what was given up with its whole order does not. A fault of a part of
the structure counts until work for it is done, or the part is found better.
"""

from django.apps import apps
from django.db.models import Case, CharField, Exists, OuterRef, Q, QuerySet, Value, When

from instruments.models import Finding
from instruments.states import Condition, Part
from workorders.states import Concern, ItemState, OrderState, Stood

PARTS_OF_THE_STRUCTURE = (Part.PINS, Part.FRAME, Part.BRIDGES, Part.SOUNDBOARD, Part.PESTS)
FOUND_WANTING = (Condition.REPAIR, Condition.REPLACE)


def gate_items() -> QuerySet:
    """Items of structure that stand in the way, each with how it `stood`."""
    ours = _items().filter(concern=Concern.STRUCTURE).exclude(order__state=OrderState.ABANDONED)
    newer = ours.filter(
        order__instrument=OuterRef("order__instrument"), task=OuterRef("task"), pk__gt=OuterRef("pk")
    )
    accepted_all_the_same = Q(state=ItemState.DONE) & ~Q(override_reason="")
    in_the_way = Q(state=ItemState.OPEN) | Q(state=ItemState.LEFT) | accepted_all_the_same
    stood = Case(
        When(state=ItemState.OPEN, then=Value(Stood.OPEN)),
        default=Value(Stood.WANTING),
        output_field=CharField(),
    )
    return ours.filter(in_the_way).filter(~Exists(newer)).annotate(stood=stood)


def gate_findings() -> QuerySet:
    """Faults of the structure as they stand today, that no work answers for."""
    faults = Finding.objects.current().filter(part__in=PARTS_OF_THE_STRUCTURE, condition__in=FOUND_WANTING)
    ours = _items().filter(concern=Concern.STRUCTURE).exclude(order__state=OrderState.ABANDONED)
    answered = ours.filter(finding_links__finding=OuterRef("pk"))
    since = ours.filter(
        state=ItemState.DONE,
        override_reason="",
        order__instrument=OuterRef("instrument"),
        task__suggestions__part=OuterRef("part"),
        closed_at__date__gte=OuterRef("found_on"),
    )
    return faults.filter(~Exists(answered), ~Exists(since))


def held_by_structure() -> Q:
    """Of items: on looks, while something of the structure is in the way and was not passed over for it."""
    waivers = apps.get_model("workorders", "GateWaiver").objects.filter(item=OuterRef(OuterRef("pk")))
    items = gate_items().filter(order__instrument=OuterRef("order__instrument"))
    findings = gate_findings().filter(instrument=OuterRef("order__instrument"))
    return Q(concern=Concern.LOOKS) & (
        Exists(items.exclude(Exists(waivers.filter(gate=OuterRef("pk"), stood=OuterRef("stood")))))
        | Exists(findings.exclude(Exists(waivers.filter(finding=OuterRef("pk")))))
    )


def _items() -> QuerySet:
    return apps.get_model("workorders", "WorkItem")._default_manager.order_by("rank", "pk")
