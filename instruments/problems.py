"""What stands in the way. One function per act; the page prints the list and the action refuses by it."""

from collections import Counter
from collections.abc import Collection, Iterable, Sequence
from dataclasses import dataclass
from decimal import Decimal

from django.utils import timezone

from instruments.calc import compass
from instruments.calc.condition.enders import Found, enders_of
from instruments.library import condition_signs

MOST_GRAMS = 300  # a key that needs more is stuck, and that is a finding, not a weight


@dataclass(frozen=True)
class Problem:
    """A sentence a person can act on, and where to act; `right` is what it takes to follow the link."""

    sentence: str
    link: str = ""
    right: str = ""

    @property
    def is_blocker(self) -> bool:
        return isinstance(self, Blocker)


class Blocker(Problem):
    """The act is refused while this stands."""


class Caution(Problem):
    """The act may go on; somebody should know."""


class Refused(Exception):
    """An act that was not done; its text is a sentence for the person who asked.

    `about` names the fields it may speak of, as forms call them: it stands beside the first that is there.
    """

    def __init__(self, sentence: str = "", *, about: Collection[str] = ()):
        super().__init__(sentence)
        self.about = tuple(about)

    @property
    def sentences(self) -> list[str]:
        return [str(self)]

    @property
    def told(self) -> list[tuple[str, tuple[str, ...]]]:
        """Each sentence, with the names of the fields it may stand beside."""
        return [(sentence, self.about) for sentence in self.sentences]


class Blocked(Refused):
    """An action refused by its own problems."""

    def __init__(self, problems: list[Problem]):
        self.problems = [problem for problem in problems if problem.is_blocker]
        super().__init__(" ".join(self.sentences))

    @property
    def sentences(self) -> list[str]:
        return [problem.sentence for problem in self.problems]

    @property
    def told(self) -> list[tuple[str, tuple[str, ...]]]:
        return [(each.sentence, _field_of(each)) for each in self.problems]


def _field_of(problem: Problem) -> tuple[str, ...]:
    return (problem.link.removeprefix("#id_"),) if problem.link.startswith("#id_") else ()


def refuse_if_blocked(problems: list[Problem]) -> None:
    if any(problem.is_blocker for problem in problems):
        raise Blocked(problems)


def statement_correction_problems(statement) -> list[Problem]:
    """A statement is corrected once; after that its correction is."""
    if not hasattr(statement, "superseded_by"):
        return []
    return [Blocker("This statement has been corrected already. Correct the newer one instead.")]


def report_problems(report) -> list[Problem]:
    """A condition report is written in until it is closed; after that it stands as it was signed."""
    if report.is_open:
        return []
    who = report.closed_by.get_full_name() or report.closed_by.get_username()
    day = timezone.localdate(report.closed_at)
    return [Blocker(f"This report was closed by {who} on {day:%-d %B %Y}. Begin a new one instead.")]


def purchase_problems(findings: Iterable) -> list[Problem]:
    """Findings that usually end a purchase, each in a sentence. A person decides, so none of them blocks."""
    found = [
        Found(
            part=finding.part,
            condition=finding.condition,
            signs=finding.signs,
            figures={each.measure: each.number for each in finding.values.all() if each.number is not None},
        )
        for finding in findings
    ]
    return [Caution(ender.sentence) for ender in enders_of(found, condition_signs())]


def weighing_problems(instrument, readings: Sequence[tuple[int, Decimal, Decimal | None]]) -> list[Problem]:
    """What cannot be in a weigh-off of this keyboard: (key, down-weight, up-weight), key 1 being A0."""
    if not readings:
        return [Blocker("No key has a reading yet. Give at least one down-weight.")]
    counts = Counter(key for key, _, _ in readings)
    problems = [
        Blocker(f"{compass.note_label(key)} is given {count} times.")
        for key, count in counts.items()
        if count > 1
    ]
    for reading in readings:
        problems += reading_problems(instrument.first_key, instrument.key_count, *reading)
    return problems


def taking_problems(weighing) -> list[Problem]:
    """A closed weigh-off may be the proof of work: it takes no more readings."""
    if weighing.is_open:
        return []
    return [Blocker("This weigh-off is closed, so its readings stand. Begin another one for what is new.")]


def closing_problems(weighing) -> list[Problem]:
    if not weighing.is_open:
        return [Blocker("This weigh-off is closed already.")]
    if not weighing.readings.exists():
        return [Blocker("No key has a reading yet, so there is nothing to close.")]
    return []


def reading_problems(
    first_key: int, key_count: int, key: int, down_g: Decimal, up_g: Decimal | None
) -> list[Problem]:
    top = compass.top_key(first_key, key_count)
    if not first_key <= key <= top:
        ends = f"{compass.note_label(first_key)} to {compass.note_label(top)}"
        return [Blocker(f"There is no key {key} on this keyboard, {ends}.")]
    note = compass.note_label(key)
    if not 0 <= down_g <= MOST_GRAMS or (up_g is not None and not 0 <= up_g <= MOST_GRAMS):
        return [Blocker(f"{note}: a weight lies between 0 and {MOST_GRAMS} g.")]
    if up_g is not None and up_g > down_g:
        return [Blocker(f"{note}: {up_g} g up is more than {down_g} g down. Are they the wrong way round?")]
    return []


def key_problems(instrument, keys: Collection[int]) -> list[Problem]:
    """Why these keys cannot be marked: none given, or some that this keyboard was made without."""
    if not keys:
        return [Blocker("Press at least one key, or type which.")]
    top = compass.top_key(instrument.first_key, instrument.key_count)
    absent = sorted(key for key in set(keys) if not instrument.first_key <= key <= top)
    if not absent:
        return []
    ends = f"{compass.note_label(instrument.first_key)} to {compass.note_label(top)}"
    return [Blocker(f"There is no key {key} on this keyboard, {ends}.") for key in absent[:3]]
