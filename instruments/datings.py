"""When an instrument was made, by its serial number and by whatever else bears on it; its page's material."""

from collections.abc import Iterable
from dataclasses import dataclass

from instruments.calc import edtf
from instruments.calc.dating import Step, Years, is_looser, narrowed, years_edtf
from instruments.calc.dating_evidence import making_bounds
from instruments.calc.dating_words import narrowing_sentences, years_words
from instruments.calc.evidence import SUPPORTED
from instruments.calc.serial_marks import SerialDating, serial_dating
from instruments.models import Instrument, Statement
from instruments.problems import Blocker, Caution, Problem
from instruments.standings import Weighed, marks_of, quoted, serial_figure, weighed_statements
from instruments.states import MadeBasis

LONGEST_NOTE = 200
# The weakest source that narrows a date without its serial number names the basis.
BASES = {
    "told": MadeBasis.TOLD,
    "inferred": MadeBasis.STYLE,
    "mark": MadeBasis.MARK,
    "document": MadeBasis.DOCUMENT,
}


@dataclass(frozen=True)
class Narrowing:
    """One piece beside the serial number: its statement, the range after it, and that in words."""

    statement: Statement
    step: Step
    sentence: str

    @property
    def basis(self) -> str:
        topic, grade = self.statement.get_topic_display(), self.statement.get_grade_display()
        return f"{self.step.bound.side} {self.step.bound.year} ({topic.lower()}: {grade.lower()})"


@dataclass(frozen=True)
class Dating:
    """`years` rest on what is supported; `told_years` are what they would be if the rest were true."""

    serial: SerialDating | None
    supported: tuple[Narrowing, ...]
    told: tuple[Narrowing, ...]
    years: Years
    told_years: Years

    @property
    def words(self) -> str:
        return years_words(self.years)

    @property
    def told_words(self) -> str:
        return years_words(self.told_years)

    @property
    def edtf(self) -> str:
        return years_edtf(self.years)

    @property
    def basis(self) -> str:
        if self.serial and any(self.serial.years):
            return MadeBasis.SERIAL
        grades = {each.statement.grade for each in self._narrowing}
        return next((basis for grade, basis in BASES.items() if grade in grades), MadeBasis.STYLE)

    @property
    def note(self) -> str:
        """What the date rests on. The public reads it, so no statement is quoted in it."""
        marks = [mark.words for mark in self.serial.rests_on] if self.serial else []
        bounds = [each.basis for each in self._narrowing]
        note = "; ".join(" ".join(words.split()).rstrip(".") for words in [*marks, *bounds])
        return note if len(note) <= LONGEST_NOTE else f"{note[: LONGEST_NOTE - 1].rstrip()}…"

    @property
    def _narrowing(self) -> list[Narrowing]:
        return [each for each in self.supported if each.step.effect == "narrows"]


def dating_problems(dating: Dating) -> list[Problem]:
    """What stands in the way of taking the range as the date."""
    if not dating.edtf:
        return [Blocker("Nothing on file says when it was made.")]
    against = [each for each in dating.supported if each.step.effect == "contradicts"]
    problems: list[Problem] = [
        Blocker(f"{each.sentence} One of the two is wrong: find out which before this becomes its date.")
        for each in against
    ]
    if dating.serial and not dating.serial.marks_agree:
        problems.append(Caution("The marks on either side disagree; the range holds them all."))
    return problems


def replacing_problems(dating: Dating, instrument: Instrument) -> list[Problem]:
    """What to know before the range takes the place of the date on file."""
    if not instrument.made or not dating.edtf or dating.edtf == instrument.made:
        return []
    if not is_looser(edtf.bounds(dating.edtf), edtf.bounds(instrument.made)):
        return []
    return [
        Caution(
            f"The date on file says more: {instrument.made_words} ({instrument.made_basis_words}). "
            f"Put “made {dating.words}” in its place only if that does not hold."
        )
    ]


def dating_of(instrument: Instrument) -> Dating:
    """The range of the serial number, narrowed by what is supported, then by what is told or open."""
    figure = serial_figure(instrument)
    serial = serial_dating(figure, marks_of(instrument, figure)) if figure else None
    weighed = [each for each in weighed_statements(instrument) if each.standing.may_be_printed]
    begin = serial.years if serial else (None, None)
    supported = _narrowings(begin, (each for each in weighed if each.standing.name == SUPPORTED))
    years = supported[-1].step.years if supported else begin
    told = _narrowings(years, (each for each in weighed if each.standing.name != SUPPORTED))
    return Dating(serial, supported, told, years, told[-1].step.years if told else years)


def _narrowings(years: Years, weighed: Iterable[Weighed]) -> tuple[Narrowing, ...]:
    pairs = [
        (each.statement, bound)
        for each in weighed
        for bound in making_bounds(each.claim, _reason(each.statement))
    ]
    bounds = [bound for _, bound in pairs]
    steps, sentences = narrowed(years, bounds), narrowing_sentences(years, bounds)
    return tuple(
        Narrowing(statement, step, sentence)
        for (statement, _), step, sentence in zip(pairs, steps, sentences, strict=True)
    )


def _reason(statement: Statement) -> str:
    return f"{statement.get_grade_display()}, “{quoted(statement.text)}”"
