"""What the record holds of one instrument, gathered for its page, its listing and its papers."""

from instruments.calc.exact import exact, plain
from instruments.models import Instrument
from instruments.standings import Weighed, weighed_statements
from instruments.states import Condition, Covering, Kind
from instruments.walks import in_order_of_the_walk
from shop.calc.drafting import Fault, ListingFacts, Told, Work
from shop.private_names import fit_for_the_public
from shop.protected import standing_reference
from workorders.summary import work_done_on, work_left_on


def size_words(instrument: Instrument) -> str:
    """What was measured of its size, in one clause; nothing where nothing was."""
    named = []
    if instrument.height_cm and instrument.kind == Kind.UPRIGHT:
        named.append(f"{_cm(instrument.height_cm)} tall")
    if instrument.length_cm and instrument.kind != Kind.UPRIGHT:
        named.append(f"{_cm(instrument.length_cm)} long")
    if instrument.width_cm:
        named.append(f"{_cm(instrument.width_cm)} wide")
    if instrument.depth_cm:
        named.append(f"{_cm(instrument.depth_cm)} deep")
    if not named:
        return ""
    listed = named[0] if len(named) == 1 else ", ".join(named[:-1]) + f" and {named[-1]}"
    weight = f"; it weighs about {instrument.weight_kg} kg" if instrument.weight_kg else ""
    return f"It is {listed}{weight}"


def build_words(instrument: Instrument) -> str:
    words = [
        instrument.get_stringing_display(),
        instrument.get_damping_display(),
        instrument.get_frame_display(),
    ]
    listed = [word.lower() for word in words if word]
    if instrument.pedals:
        listed.append("one pedal" if instrument.pedals == 1 else f"{instrument.pedals} pedals")
    return ", ".join(listed).capitalize()


def covering_words(instrument: Instrument) -> str:
    settled = {
        "naturals": instrument.natural_covering,
        "sharps": instrument.sharp_covering,
    }
    words = [
        f"{which} {Covering(covering).label.lower()}"
        for which, covering in settled.items()
        if covering != Covering.UNKNOWN
    ]
    return f"Key coverings: {', '.join(words)}" if words else ""


def case_words(instrument: Instrument) -> str:
    words = [instrument.get_case_wood_display(), instrument.case_finish]
    listed = ", ".join(word for word in words if word)
    return f"Case: {listed[:1].lower()}{listed[1:]}" if listed else ""


def clearance_words(instrument: Instrument) -> str:
    clearance = instrument.clearances.first()
    if clearance is None:
        return ""
    if clearance.no_protected_material and Covering.IVORY not in instrument.coverings:
        return f"Examined for ivory ({clearance.how}); none found"
    reference = standing_reference(instrument)
    return f"Ivory registration {reference}" if reference else ""


def listing_facts(instrument: Instrument) -> ListingFacts:
    """Every fact a listing may be drafted from; each public statement as it stands today."""
    findings = in_order_of_the_walk(instrument.findings.current().public())
    return ListingFacts(
        maker=instrument.maker_name,
        maker_is_known=instrument.maker_is_known,
        kind=instrument.get_kind_display(),
        made=instrument.made_words if instrument.made else "",
        made_basis=instrument.made_basis_words,
        made_is_told=instrument.made_is_told,
        name_on_fall=instrument.name_on_fall,
        model=instrument.model,
        serial=instrument.serial,
        serial_read_at=instrument.serial_read_at,
        size=size_words(instrument),
        compass=instrument.compass_words,
        build=build_words(instrument),
        case=case_words(instrument),
        naturals=covering_words(instrument),
        clearance=clearance_words(instrument),
        statements=tuple(map(_told, fit_for_the_public(instrument, weighed_statements(instrument)))),
        done=tuple(_work(done) for done in work_done_on(instrument)),
        left=tuple(Work(name=left.name, result=left.reason) for left in work_left_on(instrument)),
        faults=tuple(
            Fault(
                part=finding.get_part_display(), condition=finding.get_condition_display(), note=finding.note
            )
            for finding in findings
            if finding.is_fault
        ),
        is_examined=bool(findings),
        not_examined=tuple(
            finding.get_part_display() for finding in findings if finding.condition == Condition.NOT_EXAMINED
        ),
    )


def _told(weighed: Weighed) -> Told:
    statement = weighed.statement
    return Told(
        text=statement.text,
        grade=statement.grade,
        dated=statement.dated_words,
        source_note=statement.source_note,
        in_their_words=statement.in_their_words,
        standing=weighed.standing.name,
        relation=statement.teller,
    )


def _work(done) -> Work:
    return Work(
        name=done.name,
        result=done.result,
        measured=done.measured,
        done_on=f"{done.closed_on:%-d %B %Y}",
        limit=done.limit,
    )


def _cm(value) -> str:
    return f"{plain(exact(value))} cm"
