"""What the record holds of one instrument, gathered for its page, its listing and its papers."""

from collections.abc import Callable, Collection
from functools import partial

from instruments.calc.exact import exact, plain
from instruments.calc.wording import names_in
from instruments.models import Instrument
from instruments.models.together import asking
from instruments.standings import Weighed, weighed_statements
from instruments.states import Condition, Covering, Kind, Stage
from instruments.touch import verdict_of
from instruments.walks import in_order_of_the_walk
from shop.calc.listing_facts import Fault, ListingFacts, Told, Touch, Work
from shop.models import ShopProfile
from shop.private_names import fit_for_the_public, private_names
from shop.protected import protected_file_of, reference_in
from workorders.currency import price_in_words
from workorders.summary import work_done_on, work_left_on


def size_words(instrument: Instrument) -> str:
    """What was measured of its size, in one clause; nothing where nothing was."""
    named = [tall] if (tall := tall_words(instrument)) else []
    if instrument.width_cm:
        named.append(f"{_cm(instrument.width_cm)} wide")
    if instrument.depth_cm:
        named.append(f"{_cm(instrument.depth_cm)} deep")
    if not named:
        return ""
    listed = named[0] if len(named) == 1 else ", ".join(named[:-1]) + f" and {named[-1]}"
    weight = f"; it weighs about {instrument.weight_kg} kg" if instrument.weight_kg else ""
    return f"It is {listed}{weight}"


def tall_words(instrument: Instrument) -> str:
    """What a room is asked for first: how tall an upright is, how long any other."""
    if instrument.kind == Kind.UPRIGHT:
        return f"{_cm(instrument.height_cm)} tall" if instrument.height_cm else ""
    return f"{_cm(instrument.length_cm)} long" if instrument.length_cm else ""


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


@asking
def clearance_words(instrument: Instrument):
    """How it was cleared, or the paper it has; in one query."""
    file = yield from protected_file_of.later(instrument)
    clearance = file.clearance
    if clearance is None:
        return ""
    if clearance.no_protected_material and Covering.IVORY not in instrument.coverings:
        return f"Examined for ivory ({clearance.how}); none found"
    reference = reference_in(file)
    return f"Ivory registration {reference}" if reference else ""


def listing_facts(instrument: Instrument) -> ListingFacts:
    """Every fact a listing may be drafted from; each public statement as it stands today."""
    findings = in_order_of_the_walk(instrument.findings.current().public())
    price, profile = instrument.asking_prices.first(), ShopProfile.current()
    unnamed = partial(without_names, names=private_names(instrument))
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
        tall=tall_words(instrument),
        compass=instrument.compass_words,
        build=build_words(instrument),
        case=case_words(instrument),
        naturals=covering_words(instrument),
        clearance=clearance_words(instrument),
        touch=touch_after_work(instrument),
        price=price_in_words(price.amount_minor) if price else "",
        price_record="price" if price else "",
        trial_days=profile.trial_days,
        address=public_page_of(instrument, profile),
        statements=tuple(map(_told, fit_for_the_public(instrument, weighed_statements(instrument)))),
        done=tuple(_work(done, unnamed) for done in work_done_on(instrument)),
        left=tuple(
            Work(name=left.name, result=unnamed(left.reason), record=f"item {left.pk}")
            for left in work_left_on(instrument)
        ),
        faults=tuple(
            Fault(
                part=finding.get_part_display(),
                condition=finding.get_condition_display(),
                note=unnamed(finding.note),
                record=f"finding {finding.pk}",
            )
            for finding in findings
            if finding.is_fault
        ),
        is_examined=bool(findings),
        not_examined=tuple(
            finding.get_part_display() for finding in findings if finding.condition == Condition.NOT_EXAMINED
        ),
    )


def touch_after_work(instrument: Instrument) -> Touch | None:
    """The last closed weigh-off, where it was taken after work; one as found since then takes its place."""
    weighing = instrument.weighings.closed().with_readings().first()
    if weighing is None or weighing.stage != Stage.AFTER_WORK:
        return None
    summary = verdict_of(weighing, instrument).summary
    if not summary.weighed:
        return None
    return Touch(
        inside=summary.weighed - summary.out,
        weighed=summary.weighed,
        tolerance_g=plain(exact(instrument.touch_tolerance_g)),
        day=f"{weighing.weighed_on:%-d %B %Y}",
        record=f"weighing {weighing.pk}",
    )


def public_page_of(instrument: Instrument, profile: ShopProfile) -> str:
    """Where its page stands in the window; nothing before it has one."""
    listing = getattr(instrument, "listing", None)
    if not profile.public_address or listing is None:
        return ""
    return f"{profile.public_address.rstrip('/')}/{listing.slug}/"


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
        record=f"statement {statement.pk}",
    )


def without_names(words: str, names: Collection[str]) -> str:
    """Words of the bench as the public may read them: nothing where they name who sold it or told of it."""
    return "" if names_in(words, names) else words


def _work(done, unnamed: Callable[[str], str]) -> Work:
    return Work(
        name=done.name,
        result=unnamed(done.result),
        measured=done.measured,
        done_on=f"{done.closed_on:%-d %B %Y}",
        limit=unnamed(done.limit),
        record=f"item {done.pk}",
    )


def _cm(value) -> str:
    return f"{plain(exact(value))} cm"
