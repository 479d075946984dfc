"""What the record says of the stages in which a sale is paid."""

from shop.models import PaymentPlan, StageReached
from shop.written_kinds import Kind, sentence
from workorders.currency import in_words


def _plan(row: PaymentPlan, user) -> str:
    stages = "; ".join(f"{stage}: {in_words(stage.amount_minor)}" for stage in row.stages.all())
    return sentence(f"Version {row.version}, agreed {row.agreed_on:%-d %B %Y}", stages, row.written, row.why)


def _reached(row: StageReached, user) -> str:
    return sentence(f"{row.stage}, due {row}", row.shown_by)


PLAN_KINDS = (
    Kind(
        PaymentPlan,
        _plan,
        path="sale__instrument",
        right="shop.see_people",
        beside=("sale",),
        several=("stages",),
    ),
    Kind(
        StageReached,
        _reached,
        path="stage__plan__sale__instrument",
        right="shop.see_people",
        beside=("stage",),
    ),
)
