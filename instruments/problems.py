"""What stands in the way. One function per act; the page prints the list and the action refuses by it."""

from dataclasses import dataclass


@dataclass(frozen=True)
class Problem:
    """A sentence a person can act on, and where to act."""

    sentence: str
    link: str = ""

    @property
    def is_blocker(self) -> bool:
        return isinstance(self, Blocker)


class Blocker(Problem):
    """The act is refused while this stands."""


class Caution(Problem):
    """The act may go on; somebody should know."""


class Refused(Exception):
    """An act that was not done; its text is a sentence for the person who asked."""


class Blocked(Refused):
    """An action refused by its own problems."""

    def __init__(self, problems: list[Problem]):
        self.problems = [problem for problem in problems if problem.is_blocker]
        super().__init__(" ".join(problem.sentence for problem in self.problems))


def refuse_if_blocked(problems: list[Problem]) -> None:
    if any(problem.is_blocker for problem in problems):
        raise Blocked(problems)
