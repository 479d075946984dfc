"""Writing the log of who did what, and sealing it."""

from datetime import timedelta

from django.db import transaction
from django.utils import timezone

from shop.calc.log_chain import COLUMNS, START, seal_hash
from shop.log_states import LogKind
from shop.models import LogHead, LogLine, LogSeal

LOOKED_BACK = 2_000  # lines: one written in a long transaction may be seen after later ones were sealed
AT_ONCE = 1_000
STRANGERS_WITHIN, STRANGERS_MOST = timedelta(minutes=15), 20
NO_MORE_OF_IT = "More from there in the next minutes is not written down"


@transaction.atomic
def write_log(*, kind: str, what: str, who=None, address: str = "") -> LogLine:
    """A line that stands for itself, sealed with whatever waits. A row that is logged writes its own."""
    line = LogLine.objects.create(
        kind=kind, what=what[:200], who=who if who and who.pk else None, address=address
    )
    seal_log(most=AT_ONCE)
    return line


def write_strangers(*, kind: str, what: str, address: str) -> LogLine | None:
    """The same of somebody who has not signed in: a flood of it fills neither disk nor page."""
    since = timezone.now() - STRANGERS_WITHIN
    count = LogLine.objects.filter(address=address, kind=kind, who=None, at__gt=since).count()
    if count > STRANGERS_MOST:
        return None
    last = count == STRANGERS_MOST
    return write_log(kind=kind, what=NO_MORE_OF_IT if last else what, address=address)


@transaction.atomic
def seal_log(*, most: int | None = None) -> int:
    """Give the lines that have none their place in the chain, `most` of them or all; how many that were."""
    head, _ = LogHead.objects.select_for_update().get_or_create(pk=1)
    sealed = 0
    while (most is None or sealed < most) and (rows := list(_without_seal(head))):
        before, position, seals = head.sha256 or START, head.count, []
        for row in rows:
            position += 1
            before = seal_hash(before, position, row)
            seals.append(LogSeal(position=position, line_id=row["id"], sha256=before))
        LogSeal.objects.bulk_create(seals)
        head.count, head.sha256 = position, before
        head.save()
        sealed += len(rows)
    return sealed


def _without_seal(head: LogHead):
    last = LogSeal.objects.filter(position=head.count).values_list("line_id", flat=True).first() or 0
    waiting = LogLine.objects.filter(seal=None, id__gt=max(0, last - LOOKED_BACK))
    return waiting.order_by("id").values(*COLUMNS)[:AT_ONCE]


def log_secret(*, who, what: str, by=None, address: str = "") -> LogLine:
    """That a password or a second step changed, and by whom, if not by themselves."""
    hand = f", by {by.get_username()}" if by and by.pk != who.pk else ""
    return write_log(kind=LogKind.SECRET, who=who, what=f"{what}{hand}", address=address)
