"""A known flaw is seen, and its time runs out; who does not answer is not taken for a clean bill."""

import json
import subprocess
from datetime import date

import pytest

from tests.trust import advisories
from tests.trust.advisories import Answer, ask, noted, outstayed, read

# As pip-audit 2.10 writes it. The flaw (forged lines of a log) and its number are from memory.
FOUND = {
    "id": "CVE-2025-48432",
    "fix_versions": ["4.2.22", "5.1.10", "5.2.2"],
    "aliases": [],
    "description": "…",
}
OLD = {"dependencies": [{"name": "django", "version": "5.2.1", "vulns": [FOUND]}], "fixes": []}
SILENT = {
    "dependencies": [{"name": "django", "skip_reason": "Dependency not found and could not be audited"}]
}
TOLD = date(2026, 3, 2)


def flaws_of_an_old_django() -> dict[str, dict]:
    answer = Answer({"django": "5.2.1"})
    read(json.dumps(OLD), answer)
    return noted(answer, {}, on=TOLD)


def test_a_known_flaw_in_an_old_django_is_seen():
    (flaw,) = flaws_of_an_old_django().values()
    assert (flaw["package"], flaw["version"], flaw["told_on"]) == ("django", "5.2.1", "2026-03-02")


@pytest.mark.parametrize(
    ("severity", "day", "is_over"),
    [
        ("", date(2026, 3, 9), False),
        ("", date(2026, 3, 10), True),
        ("high", date(2026, 3, 10), True),
        ("medium", date(2026, 4, 1), False),
        ("medium", date(2026, 4, 2), True),
    ],
)
def test_its_time_runs_from_the_day_it_was_told(severity, day, is_over):
    flaws = flaws_of_an_old_django()
    flaws[FOUND["id"]]["severity"] = severity
    again = Answer({"django": "5.2.1"})
    read(json.dumps(OLD), again)
    assert bool(outstayed(noted(again, flaws, on=day), on=day)) is is_over


def test_a_package_that_is_skipped_was_not_answered_for(monkeypatch):
    monkeypatch.setattr(advisories, "_audited", lambda asked, service: json.dumps(SILENT))
    assert ask({"django": "5.2.1"}).unanswered == {"django"}


def test_the_second_service_is_asked_for_what_the_first_did_not_know(monkeypatch):
    by_service = {"osv": SILENT, "pypi": OLD}
    monkeypatch.setattr(advisories, "_audited", lambda asked, service: json.dumps(by_service[service]))
    answer = ask({"django": "5.2.1"})
    assert answer.unanswered == set() and list(answer.flaws) == [FOUND["id"]]


@pytest.mark.parametrize(
    "away", [subprocess.TimeoutExpired("pip-audit", 1), FileNotFoundError(), ValueError()]
)
def test_a_service_that_is_away_is_told_as_that(monkeypatch, capsys, away):
    def silent(*words):
        raise away

    monkeypatch.setattr(advisories, "_audited", silent)
    advisories.main()
    assert capsys.readouterr().out.startswith("0 of ")
