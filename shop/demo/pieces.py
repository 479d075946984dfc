"""How one invented instrument is written down: plain facts, with days counted back from today."""

from dataclasses import dataclass, field


@dataclass(frozen=True, kw_only=True)
class Said:
    """One statement. Without `days_ago` it was told when the instrument arrived."""

    text: str
    grade: str = "told"
    topic: str = "general"
    by: str = ""
    dated: str = ""
    place: str = ""
    source: str = ""
    quoted: bool = False
    public: bool = True
    days_ago: int | None = None
    name: str = ""
    corrects: str = ""
    reason: str = ""


@dataclass(frozen=True)
class Found:
    part: str
    condition: str
    note: str = ""
    keys: str = ""
    value: str = ""
    unit: str = ""
    public: bool = True


@dataclass(frozen=True)
class Cost:
    kind: str
    pounds: int
    note: str
    days_after: int = 0


@dataclass(frozen=True, kw_only=True)
class Weighed:
    """A weigh-off: friction of naturals and sharps in grams, how uneven it was, how far weight was off.

    One that belongs to a step of work is weighed on the day of that step.
    """

    days_ago: int | None = None
    stage: str = "as_found"
    naturals: float = 12.5
    sharps: float = 12.5
    uneven: float = 0.7
    heavier: float = 0
    humidity: str = ""
    note: str = ""
    who: str = "tobias"


@dataclass(frozen=True)
class Step:
    """A job that was done. `figure` is what was measured, `parts` are (name, quantity, pounds)."""

    task: str
    result: str
    minutes: int
    figure: str = ""
    parts: tuple[tuple[str, str, int], ...] = ()
    who: str = "tobias"
    weighed: Weighed | None = None


@dataclass(frozen=True, kw_only=True)
class Order:
    """`opened` and `closed` in days ago; an order without `closed` is still open."""

    title: str
    opened: int
    closed: int | None = None
    worked_until: int | None = None
    steps: tuple[Step, ...] = ()
    left: tuple[tuple[str, str], ...] = ()
    waiting: tuple[str, ...] = ()
    note: str = ""
    due_in: int | None = None
    for_whom: str = "tobias"

    @property
    def last_day(self) -> int:
        if self.closed is not None:
            return self.closed
        return self.worked_until if self.worked_until is not None else 2


@dataclass(frozen=True, kw_only=True)
class Offer:
    days_ago: int
    pounds: int | None
    reason: str = ""
    published: bool = True


@dataclass(frozen=True, kw_only=True)
class Cleared:
    days_ago: int
    found: str
    how: str
    reference: str = ""
    none_in_it: bool = False
    note: str = ""


@dataclass(frozen=True, kw_only=True)
class Piece:
    key: str
    arrived: int
    identity: dict
    seller: str = ""
    pounds: int | None = None
    route: str = "private"
    note: str = ""
    logged_by: str = "bram"
    costs: tuple[Cost, ...] = ()
    said: tuple[Said, ...] = ()
    found: tuple[Found, ...] = ()
    weighed: tuple[Weighed, ...] = ()
    orders: tuple[Order, ...] = ()
    shots: tuple[str, ...] = ()
    cleared: tuple[Cleared, ...] = ()
    offer: Offer | None = None
    later: tuple[tuple[int, dict], ...] = field(default=())
    moves: tuple[tuple[int, str, str], ...] = ()
