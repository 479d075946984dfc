"""The shop's own terms: loaded from their file, changed clause by clause, put in force as a whole."""

from dataclasses import dataclass
from datetime import date

from django.db import connection, transaction

from instruments.actions.history import save_tracked
from instruments.models.worded import Worded, beforehand
from instruments.problems import Blocked, Blocker, refuse_if_blocked
from shop.documents.clauses import ClauseSet, clause_set, shipped_terms, standard_clauses
from shop.fingerprints import fingerprint
from shop.models import AgreementClause, ShopProfile, TermsVersion
from shop.terms_problems import terms_problems


@transaction.atomic
def load_clauses() -> list[AgreementClause]:
    """Bring the clauses up to their file; returns what was added or changed.

    A clause that the shop has changed stays as the shop wants it. The first time, they are put in force.
    """
    known = {clause.code: clause for clause in AgreementClause.objects.all()}
    changed = []
    for place, row in enumerate(shipped_terms()["clauses"], start=1):
        clause = known.get(row["code"])
        if clause and (not clause.is_as_shipped or clause.words == _words_of(row)):
            continue
        clause = clause or AgreementClause(code=row["code"], position=10 * place, is_as_shipped=True)
        clause.when, clause.heading, clause.text = row["when"], row["heading"], row["text"]
        save_tracked(clause, by=None, why="Loaded from the shipped terms")
        changed.append(clause)
    if not TermsVersion.objects.exists():
        shipped = shipped_terms()
        year = int(shipped["version"].partition("-")[0])
        _issue(shipped["version"], working_words(), False, "As shipped", by=None, on=date(year, 1, 1))
    return changed


@transaction.atomic
def save_clause(*, clause: AgreementClause, by) -> AgreementClause:
    """Add or change a clause. Agreements take it once the terms have been put in force."""
    verb = "added to" if clause.pk is None else "changed in"
    clause.is_as_shipped = False
    save_tracked(clause, by=by, why=f"“{clause.heading}” {verb} our terms")
    return clause


@transaction.atomic
def put_in_force(*, keeping_is_buying: bool, note: str = "", by, on: date) -> TermsVersion:
    """Make the clauses as they stand now the terms of every agreement that starts from here on."""
    lock_terms()
    words, last = working_words(), TermsVersion.objects.first()
    if last and (last.words, last.keeping_is_buying) == (words, keeping_is_buying):
        raise Blocked([Blocker(f"Nothing has changed since terms {last.label} were put in force.")])
    refuse_if_blocked(terms_problems(words, keeping_is_buying=keeping_is_buying))
    return _issue(_next_label(on), words, keeping_is_buying, note, by=by, on=on)


def terms_in_force() -> "TermsInForce":
    """The newest version that was put in force; the shipped file where the shop has none yet."""
    version = _newest_version(connection.vendor).first()
    return TermsInForce(version, clauses_of(version) if version else standard_clauses())


@beforehand
def _newest_version(vendor: str) -> Worded:
    return Worded.of(TermsVersion.objects.all()[:1])


@dataclass(frozen=True)
class TermsInForce:
    version: TermsVersion | None
    clauses: ClauseSet


def clauses_of(version: TermsVersion) -> ClauseSet:
    return clause_set(version.words, version=version.label, keeping_is_buying=version.keeping_is_buying)


def working_words() -> dict:
    """The clauses as the shop would have them now, with the cautions that nobody may take away."""
    return {
        "clauses": [clause.words for clause in AgreementClause.objects.in_use()],
        "cautions": list(shipped_terms()["cautions"]),
    }


def _words_of(row: dict) -> dict:
    return {name: row[name] for name in ("when", "heading", "text")}


def lock_terms() -> None:
    """One at a time: the shop's own row is what every version hangs on."""
    ShopProfile.objects.get_or_create(pk=1)
    ShopProfile.objects.select_for_update().get(pk=1)


def _next_label(on: date) -> str:
    taken = {int(label.rpartition("-")[2]) for label in _labels_of(on.year)}
    return f"{on.year}-{max(taken, default=0) + 1}"


def _labels_of(year: int) -> list[str]:
    return list(TermsVersion.objects.filter(label__startswith=f"{year}-").values_list("label", flat=True))


def _issue(label: str, words: dict, keeping_is_buying: bool, note: str, *, by, on: date) -> TermsVersion:
    return TermsVersion.objects.create(
        label=label,
        words=words,
        sha256=fingerprint(words),
        keeping_is_buying=keeping_is_buying,
        note=note,
        in_force_from=on,
        put_in_force_by=by,
    )
