"""All that was ever put on file for and against one statement, as its page shows it."""

from collections.abc import Iterator
from dataclasses import dataclass
from datetime import datetime

from django.urls import reverse

from instruments.models import Document, Evidence, Statement
from instruments.standings import Weighed, still_bears
from instruments.states import Strength, WhoMaySee

SURVEYS = ("pin_survey__instrument", "pitch_survey__instrument")
RESTS_ON = (
    "photo",
    "finding",
    "document",
    "weighing",
    "measured_value__finding",
    "report__instrument",
    *SURVEYS,
)


@dataclass(frozen=True)
class Piece:
    """One line of the list. `pk` is set where it can be taken back; `taken_back` says why it was."""

    side: str
    strength: str
    note: str
    who: str
    at: datetime
    rests_on: str = ""
    url: str = ""
    is_hearsay: bool = False
    pk: int | None = None
    taken_back: str = ""
    counts: bool = True
    of_earlier_wording: bool = False


def wordings_of(statement: Statement) -> list[Statement]:
    """Every wording of a statement, the first one first."""
    every = {each.pk: each for each in statement.instrument.statements.select_related("recorded_by")}
    later = {each.supersedes_id: each for each in every.values() if each.supersedes_id}
    first = every[statement.pk]
    while first.supersedes_id:
        first = every[first.supersedes_id]
    chain = [first]
    while chain[-1].pk in later:
        chain.append(later[chain[-1].pk])
    return chain


def pieces_on(wordings: list[Statement], weighed: Weighed | None, user) -> list[Piece]:
    """Evidence put on file for any of the wordings, then the tell-tales seen that bear on the newest."""
    rows = Evidence.objects.filter(statement__in=wordings, retracts__isnull=True).select_related(
        "recorded_by", "retracted_by", *RESTS_ON
    )
    by_key = {each.pk: each for each in wordings}
    pieces = [_piece(row, by_key[row.statement_id], wordings[-1], user) for row in rows]
    return [*pieces, *(_sighted(weighed) if weighed else [])]


def _piece(evidence: Evidence, older: Statement, newest: Statement, user) -> Piece:
    retraction = getattr(evidence, "retracted_by", None)
    rests_on, url = _ground(evidence, newest.instrument.stock_number, user)
    return Piece(
        side=evidence.side,
        strength=evidence.get_strength_display().lower(),
        note=evidence.note,
        who=evidence.recorded_by.get_full_name() or evidence.recorded_by.get_username(),
        at=evidence.recorded_at,
        rests_on=rests_on,
        url=url,
        is_hearsay=evidence.is_hearsay,
        pk=None if retraction else evidence.pk,
        taken_back=retraction.note if retraction else "",
        counts=not retraction and still_bears(evidence, older, newest),
        of_earlier_wording=older != newest,
    )


def _ground(evidence: Evidence, stock_number: str, user) -> tuple[str, str]:
    """What a piece rests on in words, and where that is; a private document keeps its title to itself."""
    if photo := evidence.photo:
        return f"Photograph {photo.position}: {photo}", _at("photos", stock_number) + f"#photo-{photo.pk}"
    if finding := evidence.finding:
        return f"Finding: {finding}", f"{reverse('instrument', args=[stock_number])}#condition"
    if value := evidence.measured_value:
        return f"Measured: {value}", f"{reverse('instrument', args=[stock_number])}#condition"
    if report := evidence.report:
        return f"Condition report: {report}", report.get_absolute_url()
    if weighing := evidence.weighing:
        return str(weighing), weighing.get_absolute_url()
    if survey := evidence.pin_survey or evidence.pitch_survey:
        return str(survey), survey.get_absolute_url()
    if document := evidence.document:
        return _paper(document, stock_number, user)
    return "", ""


def _paper(document: Document, stock_number: str, user) -> tuple[str, str]:
    if document.seen_by == WhoMaySee.OWNER and not user.has_perm("instruments.see_private_documents"):
        return "A document kept private", ""
    return f"Document: {document}", _at("documents", stock_number) + f"#document-{document.pk}"


def _sighted(weighed: Weighed) -> Iterator[Piece]:
    """The tell-tales seen in this instrument that speak for or against it, newest word on each."""
    instrument = weighed.statement.instrument
    seen = {
        f"tell-tale {row.tell_tale.question}/{row.tell_tale.code}": row
        for row in instrument.sightings.seen().select_related("tell_tale", "seen_by", "photo")
    }
    for bearing in weighed.bearings:
        if row := seen.get(bearing.source):
            yield Piece(
                side=bearing.side,
                strength=Strength(bearing.strength).label.lower(),
                note=f"{bearing.note} {row.note}".strip(),
                who=row.seen_by.get_full_name() or row.seen_by.get_username(),
                at=row.recorded_at,
                rests_on=f"Tell-tale, photograph {row.photo.position}" if row.photo else "Tell-tale",
                url=_at("tell_tales", instrument.stock_number) + f"#tell-tale-{row.tell_tale_id}",
            )


def _at(page: str, stock_number: str) -> str:
    return reverse(f"instruments:{page}", args=[stock_number])
