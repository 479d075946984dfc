"""A known flaw is seen, and its time runs out; who does not answer is not taken for a clean bill."""

import io
import json
import re
import subprocess
import tarfile
from datetime import date

import pytest

from tests.trust import advisories, newest, read_by_hand, told_by_makers
from tests.trust.advisories import Answer, ask, noted, outstayed, read, to_keep

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
# In the shape of Django's notes of a release; the flaw is invented.
NOTES = """
CVE-2026-000001: Something was read that should not be
======================================================

This issue has severity "moderate" according to the policy.

CVE-2026-000002: Something took long
====================================

It took long.

Bugfixes
========
"""


@pytest.fixture(autouse=True)
def makers_are_away(monkeypatch):
    def silent(name):
        raise OSError

    monkeypatch.setattr(told_by_makers, "of_the_newest", silent)


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


def test_what_nobody_answers_for_now_keeps_its_day_and_what_is_mended_goes():
    before = flaws_of_an_old_django() | {"an older one": {"package": "sqlparse", "told_on": "2026-02-01"}}
    silent = Answer({"django": "5.2.2", "sqlparse": "0.5"}, answered={"django"})
    assert to_keep(silent, {}, before=before) == {"an older one": before["an older one"]}
    assert to_keep(Answer({"django": "5.2.2"}), {}, before=flaws_of_an_old_django()) == (
        flaws_of_an_old_django()
    )


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


def of_makers(monkeypatch, newest: str, flaws: list[dict], pinned: str, name: str = "felt") -> Answer:
    monkeypatch.setattr(advisories, "_audited", lambda asked, service: json.dumps({"dependencies": []}))
    monkeypatch.setattr(told_by_makers, "of_the_newest", lambda name: (newest, flaws))
    monkeypatch.setattr(advisories, "newest_django", lambda: "5.2.4")
    monkeypatch.setattr(told_by_makers, "notes_of_django", lambda newest: {2: "", 3: NOTES, 4: "Nothing."})
    return ask({name: pinned})


def test_of_the_newest_release_its_makers_page_tells_the_flaws(monkeypatch):
    answer = of_makers(monkeypatch, "2.0", [{"id": "PYSEC-2026-1", "fixed_in": []}], pinned="2.0")
    assert answer.unanswered == set() and answer.flaws["PYSEC-2026-1"]["package"] == "felt"


def test_of_an_older_release_that_page_says_nothing(monkeypatch):
    assert of_makers(monkeypatch, "2.0", [], pinned="1.9").unanswered == {"felt"}


def test_djangos_own_notes_tell_what_the_pin_still_has(monkeypatch):
    answer = of_makers(monkeypatch, "6.1", [], pinned="5.2.2", name="django")
    assert answer.unanswered == set()
    first, second = answer.flaws.items()
    assert first[0] == "CVE-2026-000001" and first[1]["severity"] == "medium"
    assert second[0] == "CVE-2026-000002" and "severity" not in second[1]
    assert second[1]["mended_in"] == ["5.2.3"]


def test_the_newest_django_of_its_series_has_nothing_left(monkeypatch):
    assert of_makers(monkeypatch, "6.1", [], pinned="5.2.4", name="django").flaws == {}


def held_back(monkeypatch, notes: dict[str, str], releases: tuple[str, ...]) -> Answer:
    """Felt 1.9, held behind its newest, with what the source of that one brings of notes."""
    archive = io.BytesIO()
    with tarfile.open(fileobj=archive, mode="w:gz") as source:
        for release, text in notes.items():
            member = tarfile.TarInfo(f"felt-2.1/notes/{release}.rst")
            member.size = len(text.encode())
            source.addfile(member, io.BytesIO(text.encode()))
    page = {
        "urls": [
            {"packagetype": "bdist_wheel", "url": "../felt.whl"},
            {"packagetype": "sdist", "url": "../../felt.gz"},
        ],
        "releases": {release: [{}] for release in releases} | {"2.0.5": []},
    }
    fetched = {"https://felt.test/felt.gz": archive.getvalue()}
    monkeypatch.setattr(told_by_makers, "_page", lambda name: ("https://felt.test/a/felt/json", page))
    monkeypatch.setattr(told_by_makers, "_fetched", fetched.__getitem__)
    monkeypatch.setitem(told_by_makers.NOTES_IN_SOURCE, "felt", re.compile(r"^[^/]+/notes/([\d.]+)\.rst$"))
    return of_makers(monkeypatch, "2.1", [], pinned="1.9")


RELEASES = ("1.8", "1.9", "1.10", "2.1rc1", "2.1")


@pytest.mark.parametrize(
    ("line", "number"),
    [
        ("Mends CVE-2026-000003 in the bundled reader.", "CVE-2026-000003"),
        ("See GHSA-aaaa-bbbb-cccc.", "GHSA-aaaa-bbbb-cccc"),
        ("A Security release.", "felt before 1.10"),
        ("Two vulnerabilities are gone.", "felt before 1.10"),
        ("Among them what the compromise of a builder asked for.", "felt before 1.10"),
    ],
)
def test_notes_of_a_later_release_tell_what_a_pin_that_is_held_back_still_has(monkeypatch, line, number):
    notes = {"1.9": "CVE-2026-000009 is mended.", "1.10": f"Softer.\n\n{line}\n", "2.1": "Faster."}
    answer = held_back(monkeypatch, notes, RELEASES)
    assert answer.flaws == {number: {"package": "felt", "version": "1.9", "mended_in": ["1.10"]}}
    assert answer.unanswered == set()
    assert outstayed(noted(answer, {}, on=TOLD), on=date(2026, 3, 10)) == [number]


def test_notes_that_tell_nothing_are_an_answer_that_names_them(monkeypatch):
    answer = held_back(monkeypatch, {"1.10": "Softer.", "2.1": "Faster."}, RELEASES)
    assert (answer.unanswered, answer.flaws) == (set(), {})
    assert answer.by_what == "felt by the notes of 1.10, 2.1"


@pytest.mark.parametrize("notes", [{"2.1": "Faster."}, {"1.10": " ", "2.1": "CVE-2026-000003"}, {}])
def test_one_release_without_notes_and_nobody_answered(monkeypatch, notes):
    answer = held_back(monkeypatch, notes, RELEASES)
    assert (answer.unanswered, answer.flaws, answer.by_what) == ({"felt"}, {}, "")


ARCHIVES = {"1.8": "a8", "1.9": "a9", "1.10": "a10", "2.1rc1": "rc", "2.1": "a21"}
FOUND_BY_HAND = {"severity": "medium", "why": "A string is let go twice."}
READ = {
    "pinned": "1.9",
    "archive": "a9",
    "releases": {
        "1.10": {
            "read_on": "2026-03-02",
            "archive": "a10",
            "found": "…",
            "flaws": {"felt, 1": FOUND_BY_HAND},
        },
        "2.1": {"read_on": "2026-03-05", "archive": "a21", "found": "Nothing."},
    },
}


def read_by_somebody(
    monkeypatch, *, archives: dict[str, str] = ARCHIVES, pinned: str = "1.9", reading: dict = READ
) -> Answer:
    """Felt, whose source brings no notes, with the archives that the registry has now."""
    sources = {
        release: [{"packagetype": "bdist_wheel", "digests": {"sha256": "wheel"}}]
        + [{"packagetype": "sdist", "digests": {"sha256": archive}}] * bool(archive)
        for release, archive in archives.items()
    }
    monkeypatch.setattr(told_by_makers, "_page", lambda name: ("", {"urls": [], "releases": sources}))
    monkeypatch.setattr(read_by_hand, "kept", lambda: {"felt": reading})
    return of_makers(monkeypatch, "2.1", [], pinned=pinned)


def test_what_somebody_read_is_an_answer_that_names_it_and_its_flaws_count(monkeypatch):
    answer = read_by_somebody(monkeypatch)
    assert (answer.unanswered, answer.by_what) == (set(), "felt by the sources of 1.10, 2.1, read by hand")
    (flaw,) = noted(answer, {}, on=date(2026, 6, 1)).values()
    assert (flaw["told_on"], flaw["severity"], flaw["mended_in"]) == ("2026-03-02", "medium", ["1.10"])
    assert outstayed({"it": flaw}, on=date(2026, 4, 1)) == []
    assert outstayed({"it": flaw}, on=date(2026, 4, 2)) == ["it"]


def test_a_flaw_that_others_told_before_has_their_day(monkeypatch):
    told = FOUND_BY_HAND | {"told_on": "2026-01-02", "mended_in": []}
    releases = READ["releases"] | {"2.1": READ["releases"]["2.1"] | {"flaws": {"CVE-2026-000004": told}}}
    answer = read_by_somebody(monkeypatch, reading=READ | {"releases": releases})
    flaw = noted(answer, {}, on=date(2026, 6, 1))["CVE-2026-000004"]
    assert (flaw["told_on"], flaw["mended_in"]) == ("2026-01-02", [])


def test_what_was_not_read_is_told_with_it(monkeypatch):
    said = read_by_somebody(monkeypatch, reading=READ | {"not_read": "its glue"}).by_what
    assert said == "felt by the sources of 1.10, 2.1, read by hand, but for its glue"


@pytest.mark.parametrize(
    "changed",
    [
        {"archives": ARCHIVES | {"2.2": "a22"}},  # a release that nobody read
        {"archives": ARCHIVES | {"1.10": "another"}},
        {"archives": ARCHIVES | {"1.9": "another"}},
        {"archives": ARCHIVES | {"2.1": ""}},  # no source to read
        {"pinned": "1.8"},
        {"pinned": "1.10"},
        {"reading": READ | {"releases": {"2.1": READ["releases"]["2.1"]}}},
    ],
)
def test_a_reading_holds_for_its_pin_and_its_archives_alone(monkeypatch, changed):
    answer = read_by_somebody(monkeypatch, **changed)
    assert (answer.unanswered, answer.flaws, answer.by_what) == ({"felt"}, {}, "")


def test_each_reading_that_is_kept_is_whole_and_of_what_is_pinned():
    for name, reading in read_by_hand.kept().items():
        assert reading["pinned"] == newest.pins()[name], f"{name}: read again from the new pin on"
        for each in reading["releases"].values():
            assert re.fullmatch("[0-9a-f]{64}", each["archive"]) and len(each["found"]) > 100
            assert date.fromisoformat(each["read_on"])
            for flaw in each.get("flaws", {}).values():
                assert flaw["severity"] in {"low", "medium", "high"} and flaw["why"]
