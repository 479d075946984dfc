"""Whether the log is as it was written: no line changed, removed, slipped in or cut off at the end."""

from collections.abc import Iterator

from django.apps import apps
from django.db.models import Exists, OuterRef

from shop.calc.log_chain import COLUMNS, START, seal_hash
from shop.models import LogHead, LogLine, LogSeal
from shop.models.log import Logged

AT_A_TIME = 2_000


def logged_models() -> list[type[Logged]]:
    return sorted(
        (each for each in apps.get_models() if issubclass(each, Logged)), key=lambda each: str(each)
    )


def log_faults() -> Iterator[str]:
    """One sentence for each fault."""
    yield from _chain_faults()
    for model in logged_models():
        yield from _rows_without_line(model)
        yield from _lines_without_row(model)


def _chain_faults() -> Iterator[str]:
    before, expected = START, 0
    seals = LogSeal.objects.order_by("position").values(
        "position", "sha256", "line_id", *(f"line__{name}" for name in COLUMNS)
    )
    for seal in seals.iterator(chunk_size=AT_A_TIME):
        expected += 1
        if seal["position"] != expected:
            yield f"log: a line is missing before place {seal['position']}."
            expected = seal["position"]
        line = {name: seal[f"line__{name}"] for name in COLUMNS}
        if line["id"] is None:
            yield f"log: line {seal['line_id']} is gone."
        elif seal["sha256"] != seal_hash(before, expected, line):
            yield f"log: line {seal['line_id']} does not follow from the one before it, or was changed."
        before = seal["sha256"]
    head = LogHead.objects.filter(pk=1).first()
    count, last = (head.count, head.sha256) if head else (0, "")
    if (count, last or START) != (expected, before):
        yield f"log: {count} lines were sealed, the chain ends after {expected}."


def _rows_without_line(model: type[Logged]) -> Iterator[str]:
    told = LogLine.objects.filter(subject=model._meta.label_lower, row=OuterRef("pk"))
    for pk in model._default_manager.filter(~Exists(told)).order_by("pk").values_list("pk", flat=True):
        yield f"{model._meta.label_lower} {pk}: the log does not tell of it."


def _lines_without_row(model: type[Logged]) -> Iterator[str]:
    there = model._default_manager.filter(pk=OuterRef("row"))
    lines = LogLine.objects.filter(~Exists(there), subject=model._meta.label_lower)
    for row in lines.order_by("row").values_list("row", flat=True):
        yield f"{model._meta.label_lower} {row}: the log tells of it, and it is gone."
