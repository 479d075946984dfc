"""A chain of very many records on one instrument, and how long it takes to read it through."""

import time

from instruments.actions.chain import START, breaks, link_hash, row_hash
from instruments.models import ChainLink, Instrument, Statement

AT_ONCE = 1_000


def long_chain(count: int) -> Instrument:
    """`count` statements of one instrument, linked as the program links them, in bulk."""
    from tests import make

    instrument, by = make.make_instrument(), make.somebody()
    rows = Statement.objects.bulk_create(
        (
            Statement(instrument=instrument, text=f"Said {n}.", grade="inferred", recorded_by=by)
            for n in range(count)
        ),
        AT_ONCE,
    )
    before, links = START, []
    for position, row in enumerate(rows, start=1):
        sha256 = row_hash(row)
        before = link_hash(before, "statement", row.pk, sha256)
        links.append(
            ChainLink(
                instrument=instrument,
                position=position,
                kind="statement",
                row=row.pk,
                row_sha256=sha256,
                sha256=before,
            )
        )
    ChainLink.objects.bulk_create(links, AT_ONCE)
    return instrument


def seconds_to_read(instrument: Instrument) -> tuple[float, int]:
    """Wall seconds, and how many breaks were found."""
    begun = time.monotonic()
    found = sum(1 for _ in breaks(Instrument.objects.filter(pk=instrument.pk)))
    return time.monotonic() - begun, found
