"""Tell-tales: what to look for to test a common claim, and what a table of them must get right."""

from collections import Counter
from collections.abc import Collection, Iterable, Sequence
from dataclasses import dataclass

from instruments.calc.evidence.claims import ASSERTIONS, STRENGTHS, Bearing, Claim

FEWEST_TELL_TALES = 5


@dataclass(frozen=True, slots=True)
class Answer:
    """One answer to a question; `asserts` are the claims of the question's topic that it makes true."""

    code: str
    words: str
    asserts: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True)
class TellTale:
    code: str
    text: str
    look: str
    speaks_for: tuple[str, ...]
    speaks_against: tuple[str, ...]
    strength: str
    source: str
    caution: str = ""


@dataclass(frozen=True, slots=True)
class Question:
    code: str
    question: str
    topic: str
    answers: tuple[Answer, ...]
    tell_tales: tuple[TellTale, ...]

    @property
    def name(self) -> str:
        """Short, for a list of contents."""
        return self.code.replace("-", " ").capitalize()

    def answers_to(self, claim: Claim) -> tuple[str, ...]:
        """The answers under which a claim would be true; () when the question does not test it."""
        if not claim.asserts or claim.part != self.topic:
            return ()
        return tuple(answer.code for answer in self.answers if claim.asserts in answer.asserts)


def bearings_from(question: Question, answers: Collection[str], seen: Collection[str]) -> list[Bearing]:
    """What the tell-tales seen (by code) say of a claim that holds under any of the answers.

    One speaks for it when it speaks for one of these answers, against it when it speaks against all of them,
    and not at all otherwise.
    """
    found = []
    for tell_tale in question.tell_tales:
        side = _side(tell_tale, answers) if tell_tale.code in seen else ""
        if side:
            source = f"tell-tale {question.code}/{tell_tale.code}"
            found.append(Bearing(side, tell_tale.strength, tell_tale.text, source))
    return found


def _side(tell_tale: TellTale, answers: Collection[str]) -> str:
    if any(answer in tell_tale.speaks_for for answer in answers):
        return "for"
    return "against" if answers and all(answer in tell_tale.speaks_against for answer in answers) else ""


def questions_from(table: Iterable[dict]) -> tuple[Question, ...]:
    """The questions of a table without faults (rows as in fixtures/tell_tales.json)."""
    return tuple(
        Question(
            row["code"],
            row["question"],
            row["topic"],
            tuple(Answer(item["code"], item["words"], tuple(item["asserts"])) for item in row["answers"]),
            tuple(_tell_tale(item) for item in row["tell_tales"]),
        )
        for row in table
    )


def _tell_tale(row: dict) -> TellTale:
    sides = {side: tuple(row[side]) for side in ("speaks_for", "speaks_against")}
    return TellTale(**(row | sides))


def tell_tale_faults(table: Sequence[dict]) -> list[str]:
    """A sentence for each fault in a table of tell-tales; [] when a shop can work by it."""
    faults = _twice("question", [row["code"] for row in table])
    for row in table:
        name, answers = row["code"], [answer["code"] for answer in row["answers"]]
        faults += _twice(f"{name}: answer", answers)
        faults += _twice(f"{name}: tell-tale", [item["code"] for item in row["tell_tales"]])
        if len(row["tell_tales"]) < FEWEST_TELL_TALES:
            faults.append(f"{name} has fewer than {FEWEST_TELL_TALES} tell-tales.")
        known = {answer for item in row["tell_tales"] for answer in item["speaks_for"]}
        faults += [f"{name}: nothing speaks for “{answer}”." for answer in answers if answer not in known]
        for answer in row["answers"]:
            unknown = [word for word in answer["asserts"] if word not in ASSERTIONS]
            faults += [f"{name}: “{word}” is nothing a statement asserts." for word in unknown]
        for item in row["tell_tales"]:
            faults += [f"{name}/{item['code']}: {fault}" for fault in _row_faults(item, answers)]
    return faults


def _twice(what: str, codes: Iterable[str]) -> list[str]:
    return [f"{what} {code} stands there twice." for code, count in Counter(codes).items() if count > 1]


def _row_faults(row: dict, answers: Collection[str]) -> list[str]:
    faults = [f"“{name}” is empty." for name in ("text", "source") if not row[name].strip()]
    if row["strength"] not in STRENGTHS:
        faults.append(f"“{row['strength']}” is not strong, fair or weak.")
    if not row["speaks_for"]:
        faults.append("it speaks for nothing.")
    sides = [*row["speaks_for"], *row["speaks_against"]]
    faults += [f"“{answer}” is no answer to this question." for answer in sides if answer not in answers]
    both = sorted(set(row["speaks_for"]) & set(row["speaks_against"]))
    return faults + [f"it speaks for and against “{answer}”." for answer in both]
