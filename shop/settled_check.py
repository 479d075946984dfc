"""Whether what is noted as settled is so by the rows: what is wrongly noted would wait for nobody."""

from collections.abc import Iterator

from django.db.models import Exists, F, OuterRef, Q

from shop.models import HandedOver, Promise
from shop.promise_value import with_value
from shop.states import PromiseKind


def settled_faults() -> Iterator[str]:
    """A sale that lacks the note though it is settled is only looked at once more, and no fault."""
    handed = Exists(HandedOver.objects.filter(sale__promise=OuterRef("pk")))
    noted = with_value(Promise.objects.filter(is_settled=True)).annotate(is_handed_over=handed)
    wrong = noted.exclude(Q(kind=PromiseKind.SALE, is_handed_over=True, value_minor=F("price_minor")))
    for pk in wrong.order_by("pk").values_list("pk", flat=True).iterator():
        yield f"shop.promise {pk}: it is noted as settled, and by its payments or its hand-over it is not."
