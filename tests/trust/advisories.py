"""`python -m tests.trust.advisories`: known flaws in what the program stands on, as pip-audit finds them.

pip-audit asks a database of advisories (`-s osv`, `-s pypi`) and passes where it does not answer; for what
is left the makers are asked (`told_by_makers.py`), and where they tell nothing either it is an answer that
somebody read what changed (`read_by_hand.py`). A package that nobody answered for is counted as that. Nothing
fails by it but bar 29. With `--keep` each flaw is written to `advisories.json` with the day it was first
told, from which its time runs; there its severity is written by hand, and until then it counts as high.
"""

import json
import subprocess
import sys
import tempfile
from dataclasses import dataclass, field
from datetime import date, timedelta
from pathlib import Path

from shop.materials import bill_of_materials
from tests.trust import read_by_hand, told_by_makers
from tests.trust.newest import newest_django

KEPT = Path(__file__).parent / "advisories.json"
SERVICES = ("osv", "pypi")
PATIENCE_SECONDS = 180
HIGH, OTHER = timedelta(days=7), timedelta(days=30)  # GUARDS.md


@dataclass
class Answer:
    asked: dict[str, str]
    answered: set[str] = field(default_factory=set)
    flaws: dict[str, dict] = field(default_factory=dict)  # by its number: package, version, mended_in
    # By package, the releases after its pin whose notes were read, and those whose sources somebody read.
    notes_read: dict[str, list[str]] = field(default_factory=dict)
    sources_read: dict[str, list[str]] = field(default_factory=dict)

    @property
    def unanswered(self) -> set[str]:
        return set(self.asked) - self.answered

    @property
    def by_what(self) -> str:
        notes = [f"{name} by the notes of {', '.join(read)}" for name, read in self.notes_read.items()]
        sources = []
        for name, read in self.sources_read.items():
            unread = read_by_hand.unread_beneath(name)
            sources.append(f"{name} by the sources of {', '.join(read)}, read by hand")
            sources[-1] += f", but for {unread}" if unread else ""
        return "; ".join(sources + notes)


def parts() -> dict[str, str]:
    """Every package of the bill of materials."""
    return {each["name"]: each["version"] for each in bill_of_materials()["components"] if "purl" in each}


def read(told: str, answer: Answer) -> None:
    """One answer of pip-audit (`--format json`): who was answered for, and what was found."""
    for each in json.loads(told)["dependencies"]:
        if "skip_reason" in each:
            continue
        answer.answered.add(each["name"])
        for flaw in each["vulns"]:
            answer.flaws[flaw["id"]] = {
                "package": each["name"],
                "version": each["version"],
                "mended_in": flaw["fix_versions"],
            }


def ask(asked: dict[str, str]) -> Answer:
    """Of each service in turn what none before it answered."""
    answer = Answer(asked)
    for service in SERVICES:
        if not answer.unanswered:
            break
        try:
            read(_audited({name: asked[name] for name in answer.unanswered}, service), answer)
        except (OSError, subprocess.SubprocessError, ValueError):
            continue
    for name in sorted(answer.unanswered):
        try:
            _ask_its_makers(name, answer)
        except (OSError, subprocess.SubprocessError, ValueError, KeyError):
            continue
    return answer


def _ask_its_makers(name: str, answer: Answer) -> None:
    newest, told = told_by_makers.of_the_newest(name)
    pinned = answer.asked[name]
    if newest == pinned:
        answer.flaws |= {
            flaw["id"]: {"package": name, "version": pinned, "mended_in": flaw["fixed_in"]} for flaw in told
        }
    elif name == "django":
        answer.flaws |= told_by_makers.open_in_django(pinned, told_by_makers.notes_of_django(newest_django()))
    else:
        _ask_what_came_after(name, pinned, answer)
    answer.answered.add(name)


def _ask_what_came_after(name: str, pinned: str, answer: Answer) -> None:
    """Its notes, and where they are wanting, whoever read its sources."""
    try:
        notes = told_by_makers.notes_after(name, pinned)
    except KeyError:
        readings = read_by_hand.readings_of(name, pinned, told_by_makers.archives_from(name, pinned))
        answer.flaws |= read_by_hand.open_by_reading(name, pinned, readings)
        answer.sources_read[name] = list(readings)
    else:
        answer.flaws |= told_by_makers.open_by_notes(name, pinned, notes)
        answer.notes_read[name] = list(notes)


def _audited(asked: dict[str, str], service: str) -> str:
    with tempfile.NamedTemporaryFile("w", suffix=".txt") as lines:
        lines.write("".join(f"{name}=={version}\n" for name, version in sorted(asked.items())))
        lines.flush()
        command = [
            sys.executable,
            "-m",
            "pip_audit",
            "--no-deps",
            "--disable-pip",
            "--progress-spinner",
            "off",
        ]
        command += ["-r", lines.name, "-s", service, "--format", "json"]
        return subprocess.run(command, capture_output=True, text=True, timeout=PATIENCE_SECONDS).stdout


def kept() -> dict[str, dict]:
    return json.loads(KEPT.read_text()) if KEPT.exists() else {}


def noted(answer: Answer, before: dict[str, dict], *, on: date) -> dict[str, dict]:
    """Each flaw with the day it was first told and what was written to it by hand."""
    first = {"told_on": f"{on}", "severity": "", "why": ""}
    return {number: first | before.get(number, {}) | flaw for number, flaw in sorted(answer.flaws.items())}


def to_keep(answer: Answer, flaws: dict[str, dict], *, before: dict[str, dict]) -> dict[str, dict]:
    """What was told now, and what was told before of a package that nobody answered for now."""
    still = {number: flaw for number, flaw in before.items() if flaw["package"] in answer.unanswered}
    return still | flaws


def outstayed(flaws: dict[str, dict], *, on: date) -> list[str]:
    """Flaws that are there for longer than may be; one whose severity nobody wrote down counts as high."""
    return [
        number
        for number, flaw in flaws.items()
        if date.fromisoformat(flaw["told_on"]) + (OTHER if flaw["severity"] in {"low", "medium"} else HIGH)
        < on
    ]


def main() -> None:
    answer, on = ask(parts()), date.today()
    flaws = noted(answer, kept(), on=on)
    for number, flaw in flaws.items():
        mended = ", ".join(flaw["mended_in"]) or "no release yet"
        print(
            f"{number}: {flaw['package']} {flaw['version']}, mended in {mended}, told on {flaw['told_on']}."
        )
    print(f"{len(answer.answered)} of {len(answer.asked)} packages answered for, {len(flaws)} known flaws.")
    if answer.by_what:
        print(f"Of those {answer.by_what}.")
    if "--keep" in sys.argv:
        KEPT.write_text(json.dumps(to_keep(answer, flaws, before=kept()), indent=1) + "\n")


if __name__ == "__main__":
    main()
