"""Where each statement of an instrument stands: its evidence and the tell-tales seen, weighed by calc."""

import re
from collections import defaultdict
from collections.abc import Iterable
from dataclasses import dataclass

from instruments.calc.dating import years_edtf
from instruments.calc.evidence import Bearing, Claim, Conflict, Standing, conflicts, standing
from instruments.calc.evidence.tell_tales import Question, bearings_from
from instruments.calc.evidence.tell_tales import TellTale as TellTaleRule
from instruments.calc.serial_marks import serial_dating
from instruments.calc.wording import Saying
from instruments.library import questions
from instruments.models import Evidence, Instrument, SerialMark, Statement, TellTale
from instruments.models.together import asking
from instruments.states import Grade, Side


@dataclass(frozen=True)
class Weighed:
    """One statement with all that bears on it."""

    statement: Statement
    claim: Claim
    bearings: tuple[Bearing, ...]
    standing: Standing
    questions: tuple[Question, ...]

    @property
    def is_quoted(self) -> bool:
        return saying_of(self).is_quoted


@dataclass(frozen=True)
class Moved:
    """A statement that stands elsewhere than before, in a sentence."""

    statement: Statement
    before: Standing
    after: Standing

    @property
    def fell(self) -> bool:
        return self.after.rank < self.before.rank

    @property
    def sentence(self) -> str:
        return f"“{quoted(self.statement.text)}”: {self.before.name} → {self.after.name}."


def quoted(text: str, longest: int = 90) -> str:
    """A statement's words on one line, fit to stand between quotation marks inside a sentence."""
    words = " ".join(text.split()).rstrip(".").translate(str.maketrans("“”", "‘’"))
    return words if len(words) <= longest else f"{words[: longest - 1].rstrip()}…"


def moved_between(before: list[Weighed], after: list[Weighed]) -> list[Moved]:
    earlier = {each.statement.pk: each.standing for each in before}
    return [
        Moved(each.statement, earlier[each.statement.pk], each.standing)
        for each in after
        if each.statement.pk in earlier and earlier[each.statement.pk].name != each.standing.name
    ]


@asking
def weighed_statements(instrument: Instrument):
    """A list of every current statement, as `Weighed`, in one query."""
    evidence_rows = Evidence.objects.current().filter(statement__instrument=instrument)
    told, evidence_rows, tell_tales, sightings = yield (
        instrument.statements.select_related("recorded_by"),
        evidence_rows.select_related("measured_value"),
        TellTale.objects.filter(in_use=True),
        _sightings(instrument),
    )
    wordings = {each.pk: each for each in told}
    later = {each.supersedes_id: each for each in wordings.values() if each.supersedes_id}
    statements = [each for each in wordings.values() if each.pk not in later]
    pieces = defaultdict(list)
    for evidence in evidence_rows:
        older = newest = wordings[evidence.statement_id]
        while newest.pk in later:
            newest = later[newest.pk]
        if still_bears(evidence, older, newest):
            pieces[newest.pk].append(_bearing(evidence))
    library = shop_questions(tell_tales)
    seen = _by_question(sightings)
    return [_weigh(statement, pieces[statement.pk], library, seen) for statement in statements]


def still_bears(evidence: Evidence, older: Statement, newest: Statement) -> bool:
    """Whether a piece put on file for an earlier wording counts for the newest.

    Typing a claim again must not make it stronger: what speaks against it stays until it is taken back,
    what speaks for it only while the very same thing is claimed.
    """
    return evidence.side == Side.AGAINST or _claimed(older) == _claimed(newest)


def _claimed(statement: Statement) -> tuple:
    return tuple(getattr(statement, name) for name in ("topic", "text", "dated", "place", "asserts", "who"))


def standing_of(statement: Statement) -> Standing:
    return next(
        each.standing for each in weighed_statements(statement.instrument) if each.statement == statement
    )


def _weigh(statement, pieces, library, seen) -> Weighed:
    claim = claim_of(statement)
    asked = tuple(question for question in library if question.answers_to(claim))
    for question in asked:
        pieces = [*pieces, *bearings_from(question, question.answers_to(claim), seen[question.code])]
    return Weighed(statement, claim, tuple(pieces), standing(claim, pieces), asked)


def standings_by_tell_tales(instrument: Instrument, *, asserts: str, topics: Iterable[str]) -> dict:
    """Where the same claim on each topic would stand if the tell-tales alone were asked."""
    library, seen, found = shop_questions(), _codes_seen(instrument), {}
    for topic in topics:
        claim, pieces = Claim("", topic, Grade.INFERRED, "", asserts=asserts), []
        for question in library:
            pieces += bearings_from(question, question.answers_to(claim), seen[question.code])
        found[topic] = standing(claim, pieces)
    return found


def claim_of(statement: Statement) -> Claim:
    return Claim(
        key=str(statement.pk),
        topic=statement.topic,
        grade=statement.grade,
        text=statement.text,
        edtf=statement.dated,
        asserts=statement.asserts,
        who=statement.who,
    )


def saying_of(weighed: Weighed, *, with_names: bool = True) -> Saying:
    """A statement as `calc.wording` puts it into a sentence; without names nothing tells who told us."""
    statement = weighed.statement
    return Saying(
        text=statement.text,
        grade=statement.grade,
        standing=weighed.standing.name,
        relation=statement.teller,
        in_their_words=statement.in_their_words,
        dated=statement.dated_words,
        source=statement.source_note,
        is_public=statement.is_public,
        told_by=statement.told_by if with_names else "",
        told_on=f"{statement.told_on:%-d %B %Y}" if with_names and statement.told_on else "",
    )


@asking
def conflicts_of(instrument: Instrument, weighed: list[Weighed]):
    """As `Conflict`: statements that no choice of days could make true together.

    Contradicted ones are past that already.
    """
    claims = [each.claim for each in weighed if each.standing.may_be_printed]
    serial = serial_figure(instrument)
    (marks,) = yield (SerialMark.objects.around(instrument.maker, serial or 0),)
    found: list[Conflict] = conflicts([*claims, *_record_claims(instrument, serial, marks)])
    # The record's own date often repeats a statement's: what reads the same is said once.
    return list({each.sentence: each for each in reversed(found)}.values())[::-1]


def _record_claims(instrument: Instrument, serial: int | None, marks: Iterable[SerialMark]) -> list[Claim]:
    """What the record itself holds of date and serial, for statements to be held against."""
    claims = []
    if instrument.made:
        claims.append(Claim("record-made", "made", _made_grade(instrument), "made", instrument.made, "made"))
    if serial:
        span = years_edtf(serial_dating(serial, [mark.as_mark() for mark in marks]).years)
        if span:
            claims.append(
                Claim("record-serial", "made", "seen", f"serial number {instrument.serial}", span, "serial")
            )
    return claims


def _made_grade(instrument: Instrument) -> str:
    return {"serial": "seen", "mark": "mark", "document": "document", "told": "told"}.get(
        instrument.made_basis, "inferred"
    )


def serial_figure(instrument: Instrument) -> int | None:
    """The serial number as a figure, for the marks; None where letters make it something else."""
    plain = re.sub(r"[\s.,’']", "", instrument.serial)
    return int(plain) if re.fullmatch(r"[0-9]{1,12}", plain) and int(plain) else None


def marks_of(instrument: Instrument, serial: int) -> list:
    """The shop's marks that bracket a serial number of its maker."""
    return [row.as_mark() for row in SerialMark.objects.around(instrument.maker, serial)]


def shop_questions(tell_tales: Iterable[TellTale] | None = None) -> tuple[Question, ...]:
    """The questions of the library with the tell-tales as the shop keeps them."""
    rows = defaultdict(list)
    for row in TellTale.objects.filter(in_use=True) if tell_tales is None else tell_tales:
        rows[row.question].append(_rule(row))
    return tuple(
        Question(each.code, each.question, each.topic, each.answers, tuple(rows[each.code]))
        for each in questions()
    )


def _rule(row: TellTale) -> TellTaleRule:
    return TellTaleRule(
        code=row.code,
        text=row.text,
        look=row.look,
        speaks_for=tuple(row.speaks_for),
        speaks_against=tuple(row.speaks_against),
        strength=row.strength,
        source=row.source,
        caution=row.caution,
    )


def _codes_seen(instrument: Instrument) -> dict[str, set[str]]:
    return _by_question(_sightings(instrument))


def _sightings(instrument: Instrument):
    return instrument.sightings.seen().values_list("tell_tale__question", "tell_tale__code")


def _by_question(rows: Iterable[tuple[str, str]]) -> dict[str, set[str]]:
    seen = defaultdict(set)
    for question, code in rows:
        seen[question].add(code)
    return seen


def _bearing(evidence: Evidence) -> Bearing:
    """One piece; the same photo, finding, document or weigh-off put on file twice is one source.

    What was measured is one source with the finding it was measured for.
    """
    if value := evidence.measured_value:
        source = f"finding {value.finding_id}"
        return Bearing(evidence.side, evidence.strength, evidence.note, source, evidence.is_hearsay)
    for kind in ("photo", "finding", "document", "weighing", "report"):
        if key := getattr(evidence, f"{kind}_id"):
            return Bearing(
                evidence.side, evidence.strength, evidence.note, f"{kind} {key}", evidence.is_hearsay
            )
    return Bearing(
        evidence.side, evidence.strength, evidence.note, f"evidence {evidence.pk}", evidence.is_hearsay
    )
