"""From the record to the history of an instrument that may be handed to anybody."""

from collections.abc import Iterator

from instruments.calc.evidence import CONTRADICTED, OPEN
from instruments.calc.exact import plain
from instruments.calc.provenance import PRIVATE_OWNER, Owner, provenance_text
from instruments.calc.wording import sentence_for
from instruments.documents.content import Fact
from instruments.models import Instrument
from instruments.standings import Weighed, saying_of, weighed_statements
from instruments.states import Asserts, Condition, Covering, Part
from instruments.touch import verdict_of
from shop.documents.instrument_history import Done, Examined, History, Lived, Pictured, Said
from shop.life import LifeRow, grade_words, public_life_of
from shop.looked_at import Look, looks_at
from shop.private_names import fit_for_the_public
from shop.service_card import serviced
from shop.showing import public_facts
from shop.tested import tested_sentences
from workorders.summary import work_done_on, work_left_on


def history_of(instrument: Instrument, *, today) -> History:
    """What the record says today; the day itself is not in the words."""
    weighed = weighed_statements(instrument)
    public = fit_for_the_public(instrument, weighed)
    findings = list(instrument.findings.current().with_values())
    looks = looks_at(instrument)
    life = public_life_of(instrument, today=today, weighed=weighed)
    owners = provenance_text(_owners(public), public=True)
    return History(
        stock_number=instrument.stock_number,
        maker=instrument.maker_name,
        kind=instrument.get_kind_display(),
        sentence=instrument.sentence,
        facts=tuple(Fact(fact.label, fact.value, fact.basis) for fact in public_facts(instrument)),
        compass=instrument.compass_words,
        first_key=instrument.first_key,
        key_count=instrument.key_count,
        life=tuple(_lived(row) for row in life.rows),
        said=tuple(filter(None, (_said(each) for each in public))),
        tested=tested_sentences(instrument, [each for each in public if each.standing.name == CONTRADICTED]),
        owners=owners.text[:1].upper() + owners.text[1:],
        owner_notes=owners.notes,
        examined=tuple(_looked_over(findings, looks)),
        not_examined=_not_examined(findings, looks),
        done=tuple(_done(each) for each in work_done_on(instrument)),
        not_done=tuple(f"{left.name}: {left.reason}".rstrip(": ") for left in work_left_on(instrument)),
        touch=_touch(instrument),
        photos=tuple(Pictured(each.sha256, each.caption, each.words) for each in instrument.photos.public()),
        not_known=tuple(not_known(instrument, public)),
        serviced=serviced(instrument),
    )


def _lived(row: LifeRow) -> Lived:
    entry = row.entry
    return Lived(
        entry.label,
        entry.detail,
        entry.dated,
        entry.mark,
        entry.kind,
        entry.lasts,
        row.when,
        row.sentence,
        row.basis,
    )


def _said(weighed: Weighed) -> Said | None:
    worded = sentence_for(saying_of(weighed, with_names=False))
    if worded is None:
        return None
    return Said(weighed.statement.get_topic_display(), worded.text, grade_words(weighed))


def _owners(public: list[Weighed]) -> list[Owner]:
    """Nobody is named: who owned it is theirs to tell. Places and dates stand in statements shown already."""
    rows = [each for each in public if each.statement.asserts == Asserts.OWNED]
    rows.sort(key=lambda each: each.statement.earliest or each.statement.recorded_at.date())
    return [
        Owner(
            name=each.statement.who or PRIVATE_OWNER,
            standing=each.standing.name,
            place=each.statement.place,
            dated=each.statement.dated_words,
        )
        for each in rows
    ]


def _is_told(finding) -> bool:
    return finding.is_public and finding.condition != Condition.NOT_EXAMINED


def _looked_over(findings: list, looks: dict[str, list[Look]]) -> Iterator[Examined]:
    """What was found of each part, in the order of the walk; else how it was looked at, ungraded."""
    told: dict[str, list[Examined]] = {}
    for finding in findings:
        if _is_told(finding):
            told.setdefault(finding.part, []).append(_examined(finding))
    for part, label in Part.choices:
        if part in told:
            yield from told[part]
        elif part in looks:
            yield Examined(label, "Looked at", ", ".join(map(str, looks[part])), measured="", found_on="")


def _examined(finding) -> Examined:
    keys = f"keys {finding.keys}" if finding.keys else ""
    return Examined(
        part=finding.get_part_display(),
        condition=finding.get_condition_display(),
        note="; ".join(filter(None, [finding.note.rstrip("."), keys])),
        measured=finding.value_words,
        found_on=f"{finding.found_on:%-d %B %Y}",
    )


def _not_examined(findings: list, looks: dict[str, list[Look]]) -> tuple[str, ...]:
    """Parts that nobody has looked at; what was found and is kept to ourselves was looked at."""
    looked_at = {*looks, *(each.part for each in findings if each.condition != Condition.NOT_EXAMINED)}
    return tuple(label for part, label in Part.choices if part not in looked_at)


def _done(work) -> Done:
    return Done(work.name, work.result, work.measured, work.limit, f"{work.closed_on:%-d %B %Y}")


def _touch(instrument: Instrument) -> tuple[str, ...]:
    """The first and the last weigh-off, each in a sentence."""
    closed = instrument.weighings.closed()
    ends = dict.fromkeys(filter(None, [closed.last(), closed.first()]))
    return tuple(_weighed_off(each, instrument) for each in ends)


def _weighed_off(weighing, instrument: Instrument) -> str:
    when = f"{weighing.get_stage_display()}, {weighing.weighed_on:%-d %B %Y}"
    damp = f", at {plain(weighing.humidity_percent)} % RH" if weighing.humidity_percent is not None else ""
    return f"{when}{damp}: {verdict_of(weighing, instrument).summary.sentence}"


def not_known(instrument: Instrument, public: list[Weighed]) -> Iterator[str]:
    """What a buyer might take for granted and nobody here can say."""
    if not instrument.maker_is_known:
        yield "Who made it."
    if not instrument.made:
        yield "When it was made."
    elif instrument.made_is_told:
        yield "When it was made: the date given is only what we were told."
    if not instrument.serial:
        yield "Its serial number: none was found."
    if Covering.UNKNOWN in {instrument.natural_covering, instrument.sharp_covering}:
        yield "What its keys are covered with."
    if not any(each.statement.asserts == Asserts.OWNED for each in public):
        yield "Who owned it before us."
    if not any(each.topic == "strings" for each in (row.statement for row in public)):
        yield "Whether its strings have been renewed."
    if any(each.standing.name == OPEN for each in public):
        yield "Whether what is marked open above is so."
