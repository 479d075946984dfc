"""What the note for an outworker says, gathered from the record as plain data."""

from datetime import date

from instruments.documents.content import Party
from workorders.documents.outside_note import OutsideNote
from workorders.house import our_house
from workorders.models import OutsideJob, Outworker
from workorders.store_states import Goes, OutsideKind

HEAVY = "A piano is heavy: never lift it alone; a trolley, straps and enough trained people."
CAUTIONS = {
    OutsideKind.KEY_TOPS: "Old key tops may be celluloid, which burns fiercely: no flame, spark or hot tool.",
    OutsideKind.POLISHING: "Old finishes may hold lead, and dust and solvents harm: treat them so.",
}


def outside_note_of(job: OutsideJob, *, on: date) -> OutsideNote:
    instrument = job.order.instrument
    return OutsideNote(
        number=job.number,
        house=our_house(),
        outworker=_party(job.outworker),
        trade=job.outworker.trade,
        kind=job.title,
        work=job.work,
        goes="The whole instrument." if job.goes == Goes.WHOLE else job.what_goes or "Not said yet.",
        stock_number=instrument.stock_number,
        instrument=f"{instrument.maker_name}, {instrument.get_kind_display().lower()}",
        order=f"{job.order.number} {job.order.title}",
        items=tuple(item.name for item in job.items.order_by("rank", "id")[:6]),
        condition=job.sent_condition,
        sent_on=job.sent_on,
        promised_on=job.promised_on,
        printed_on=on,
        cautions=tuple(filter(None, [CAUTIONS.get(job.kind), HEAVY if job.goes == Goes.WHOLE else ""])),
    )


def _party(outworker: Outworker) -> Party:
    reach = tuple(filter(None, (outworker.telephone, outworker.email)))
    return Party(name=outworker.name, address=outworker.address, contacts=reach)
