"""How one invented instrument is written down: plain facts, with days counted back from today."""

from dataclasses import dataclass

from instruments.states import Teller


@dataclass(frozen=True, kw_only=True)
class Said:
    """One statement. Without `days_ago` it was told when the instrument arrived."""

    text: str
    grade: str = "told"
    topic: str = "general"
    by: str = ""
    teller: str = Teller.LAST_OWNER
    asserts: str = ""
    dated: str = ""
    place: str = ""
    source: str = ""
    quoted: bool = False
    public: bool = True
    days_ago: int | None = None
    name: str = ""
    corrects: str = ""
    reason: str = ""


@dataclass(frozen=True, kw_only=True)
class Bears:
    """A piece of evidence for or against a named statement; `part` names the finding it rests on, with
    `measure` what was measured for it, `scan` the paper."""

    on: str
    side: str
    strength: str
    note: str
    days_ago: int
    part: str = ""
    measure: str = ""
    scan: str = ""


@dataclass(frozen=True, kw_only=True)
class Scan:
    """A paper put on file; `kind` is jpeg, png or pdf, `seen_by` who at work may see it."""

    name: str
    title: str
    heading: str
    lines: tuple[str, ...]
    days_ago: int
    dated: str = ""
    kind: str = "jpeg"
    seen_by: str = "staff"

    @property
    def file_name(self) -> str:
        return f"{self.name}.{self.kind.replace('jpeg', 'jpg')}"


@dataclass(frozen=True, kw_only=True)
class Saw:
    """Tell-tales looked for and seen, by the codes of the library."""

    question: str
    codes: tuple[str, ...]
    days_ago: int


@dataclass(frozen=True)
class Found:
    """One line of a condition report. `measured`: (measure, figure or answer); `shot`: one of its photos."""

    part: str
    condition: str
    note: str = ""
    keys: str = ""
    public: bool = True
    measured: tuple[tuple[str, str], ...] = ()
    signs: tuple[str, ...] = ()
    shot: str = ""
    who: str = "tobias"


@dataclass(frozen=True, kw_only=True)
class Marked:
    """A fault at some keys, typed as at the bench; `cleared` says how many days ago and what was found."""

    fault: str
    keys: str
    days_ago: int
    note: str = ""
    cleared: tuple[int, str] | None = None


@dataclass(frozen=True)
class Cost:
    kind: str
    pounds: int
    note: str
    days_after: int = 0


@dataclass(frozen=True, kw_only=True)
class Weighed:
    """A weigh-off: friction of naturals and sharps in grams, how uneven it was, how far weight was off.

    One that belongs to a step of work is weighed on the day of that step. One with `left_at` was left open
    after so many keys, one of them typed over by the second at the bench.
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
    left_at: int = 0


@dataclass(frozen=True, kw_only=True)
class Lever:
    """The keys from the side, in millimetres from the balance rail; see `LeverMeasure`."""

    days_ago: int
    naturals: int
    sharps: int
    nearest: int
    farthest: int


@dataclass(frozen=True)
class Step:
    """A job that was done. `figure` is what was measured, `parts` are (name, quantity, pounds).

    `accepted` is why the owner took it although its proof does not bear it out.
    """

    task: str
    result: str
    minutes: int
    figure: str = ""
    parts: tuple[tuple[str, str, int], ...] = ()
    who: str = "tobias"
    weighed: Weighed | None = None
    accepted: str = ""


@dataclass(frozen=True, kw_only=True)
class Order:
    """`opened` and `closed` in days ago; an order without `closed` is still open.

    What waits in it is given to `for_whom`, or left free for anybody when that is empty.
    """

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
    words: tuple[tuple[str, str], ...] = ()


@dataclass(frozen=True, kw_only=True)
class Cleared:
    days_ago: int
    found: str
    how: str
    reference: str = ""
    none_in_it: bool = False
    note: str = ""
    seam: str = ""
    grain: str = ""
    dated_by: str = ""  # what documents its date
    heads_mm: tuple[str, str, str] = ()  # length, width and thickness; the tails in `tails_mm`
    tails_mm: tuple[str, str] = ()
    pieces: int | None = None


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
    found_after: tuple[Found, ...] = ()
    walk_left_open: bool = False
    evidence: tuple[Bears, ...] = ()
    scans: tuple[Scan, ...] = ()
    saw: tuple[Saw, ...] = ()
    marked: tuple[Marked, ...] = ()
    weighed: tuple[Weighed, ...] = ()
    lever: Lever | None = None
    orders: tuple[Order, ...] = ()
    shots: tuple[str, ...] = ()
    cleared: tuple[Cleared, ...] = ()
    findings_to_work: tuple[int, str] | None = None  # how many days ago, under which title
    offer: Offer | None = None
    corrected: tuple[tuple[int, dict], ...] = ()
    moves: tuple[tuple[int, str, str], ...] = ()
