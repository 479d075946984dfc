"""What people, phones and scripts send when they send nonsense, and how a good answer to it looks."""

import re
from dataclasses import dataclass
from datetime import timedelta
from html import unescape

from django.apps import apps
from django.db import connection, transaction
from django.utils import timezone

from tests.hostile import HOSTILE_TEXTS
from tests.journeys.page_forms import MARKS, Control, Form, encoded, forms_on

WRONG = re.compile(
    r'<(ul|div|li) class="(?:error|form-errors|problems|message error|message warning)".*?</\1>', re.DOTALL
)
NO_FIGURES = [
    "",
    " ",
    "\x00",
    "1\x002",
    "-1",
    "-0",
    "0",
    "1e400",
    "1e5",
    "NaN",
    "Infinity",
    "-inf",
    "0x1F",
    "1_000",
    "٣٤",
    "Ⅻ",
    "½",
    "1,2,3",
    "1.2.3",
    "£",
    "££5",
    "5 pounds",
    "12:30",
    "31/02/2026",
    "2026-13-45",
    "0000-00-00",
    "9999-12-31",
    "99999-01-01",
    "1800-01-01",
    "true",
    "None",
    "[]",
    "{}",
    "9" * 19,
    "9" * 40,
    "9" * 4301,
    "0." + "3" * 400,
]
LONG_TEXTS = ["W" * 121, "word " * 500, "line\n" * 3000, "é" * 21_000]
EVERYTHING = HOSTILE_TEXTS + NO_FIGURES + LONG_TEXTS
IN_AN_ADDRESS = ["0", "9" * 40, "-1", "٣", "a b", "..", "%00", "W" * 500, "<b>", "\ufffd", "26-001'--"]
# What is right in a field whose shape does not tell it.
FITTING = {
    "wording": "It was made $when ($basis).",
    "turn": "1",
    "most_characters": "300",
    "pitch_found": "",
    "notes": "A4",
    "tuned_days": "12",
    "distance_cm": "150",
    "bass": "E3",
    "treble": "",
    "pitch_left": "",
    "travel_minutes": "1 h 30",
    "event_": "",
    "from_": "",
    "share_": "",
    "flights": "14, 12",
    "doors_cm": "82, 78",
    "telephone": "01632 960 123",
    "new_telephone": "01632 960 123",
    "diameter_mm": "12",
    "head_width_mm": "23",
    "tail_width_mm": "13",
    "thickness_mm": "0.7",
    "length_mm": "10",
    "natural_front_mm": "210",
    "sharp_front_mm": "150",
    "nearest_mm": "60",
    "farthest_mm": "140",
    "behind_mm": "0",
    "least_up_g": "20",
    "from_key": "A0",
    "torque": "8",
    "beside": "",
    "box_a": "",
    "box_b": "",
    "box_c": "",
    "down": "",
    "up": "",
    "keys": "",
    "rechecked_keys": "",
    "first_note": "",
    "key_count_other": "",
    "pedals": "2",
    "usual_minutes": "1 h 30",
    "minutes": "1 h 30",
    "serial": "48213",
    "year": "1912",
    "speaks_against": "",
    "pests-signs": "",
    "key_count": "88",
    "least_cm": "100",
    "most_cm": "150",
    "least_keys": "85",
    "net_minor": "",
    **dict.fromkeys(("person_find", "seller_find", "other_find"), ""),
    "seller_invoice": "",
    "vat_minor": "",
    **dict.fromkeys(("monday", "tuesday", "wednesday", "thursday", "friday", "saturday", "sunday"), "1 h 30"),
}
LEFT_OPEN = {"key_ivory", "scheme_label"}  # what only fits keys of ivory, or a dealer’s invoice
# Rows that a refusal itself writes: what is counted, and what stands in the log.
TELL_OF_REFUSALS = {"SignInTry", "LogLine", "LogSeal", "LogHead"}
STILL_TO_COME = {"until", "starts_on", "ends_on", "due_on"}
# What one field gets while its fellows are as they should be.
ONE_AT_A_TIME = [
    "",
    "\x00",
    "9" * 19,
    "NaN",
    "-1",
    "9999-12-31",
    "0001-01-01",
    "W" * 30_000,
    "a <b c\ud800",
    "✓ 中文",
]


@dataclass(frozen=True)
class Sending:
    """One sending of a form and what came back."""

    form: Form
    sent: dict[str, list[str]]
    status: int
    page: str
    rows_changed: bool

    @property
    def was_taken(self) -> bool:
        return self.status in {204, 302} or (self.status == 200 and self.rows_changed)

    def complaints(self) -> list[str]:
        if self.status >= 500:
            return ["it fell over"]
        if self.status != 200:
            return []
        faults = []
        if self.rows_changed:
            faults.append("rows changed although the form was shown again")
        if not sentences(self.page):
            faults.append("it was refused without a word")
        return faults + self._lost()

    def _lost(self) -> list[str]:
        if not self.form.typed():
            return []  # a button with its choice: the answer may be another page's own form
        again = [form for form in forms_on(self.page, self.form.action) if form.names == self.form.names]
        if not again:
            return ["the form is not shown again"]
        kept = [form.typed() for form in again]
        return [
            f"{name} lost what was typed"
            for name in self.form.typed()
            if all(_as_shown(typed.get(name, "")) != _as_shown(self.sent[name][0]) for typed in kept)
        ]


def send(client, form: Form, sent: dict[str, list[str]]) -> Sending:
    """Post a form as a browser would, look at what became of the rows, and undo whatever was done."""
    before = row_counts()
    with transaction.atomic():
        answer = client.post(
            form.action, encoded(sent), content_type="application/x-www-form-urlencoded; charset=utf-8"
        )
        if answer.status_code < 500:
            after = row_counts()
            page = answer.content.decode() if answer.status_code == 200 else ""
            result = Sending(form, sent, answer.status_code, page, before != after)
        else:
            result = Sending(form, sent, answer.status_code, "", False)
        transaction.set_rollback(True)
    return result


def nonsense_everywhere(form: Form, texts: list[str], turn: int) -> dict[str, list[str]]:
    """Another text in each field; what the page hid in the form stays as it is."""
    sent = {control.name: [control.value] for control in form.controls if control.name in MARKS}
    return sent | {name: [texts[(turn * 7 + place) % len(texts)]] for place, name in enumerate(form.names)}


def all_good(form: Form) -> dict[str, list[str]]:
    """As somebody in a hurry would fill it: what stands, and something fitting in each empty field."""
    sent = form.standing()
    for control in form.controls:
        if control.kind not in {"hidden", "file"} and not any(sent.get(control.name, [])):
            sent[control.name] = [_fitting(control)]
            if control.kind == "checkbox" and sent[control.name] == [""]:
                del sent[control.name]  # a box that is not ticked sends nothing
    return sent


def telling_names(form: Form, most: int = 14) -> list[str]:
    """One name of each sort: of down1 to down85 only the first, of the parts of a walk-round one part."""
    of_a_sort: dict[str, str] = {}
    for name in form.names:
        of_a_sort.setdefault(sort_of(name), name)
    return list(of_a_sort.values())[:most]


def sort_of(name: str) -> str:
    return re.sub(r"^.*-|\d+", "", name)


def for_a_query(turn: int) -> list[str]:
    return [*NO_FIGURES[turn::2], *HOSTILE_TEXTS[turn::2]]


def some_in_turn(texts: list[str], place: int, count: int = 2) -> list[str]:
    """A few of the texts, other ones for each place, so that all fields together meet all of them."""
    return [texts[(place * count + step) % len(texts)] for step in range(count)]


def row_counts() -> tuple[int, ...]:
    """How many rows every table of the project holds, histories included, in one question."""
    tables = [
        model._meta.db_table
        for app in ("instruments", "workorders", "shop")
        for model in apps.get_app_config(app).get_models(include_auto_created=True)
        if model.__name__ not in TELL_OF_REFUSALS
    ]
    counts = ", ".join(f'(SELECT COUNT(*) FROM "{table}")' for table in tables)
    with connection.cursor() as cursor:
        cursor.execute(f"SELECT {counts}")
        return cursor.fetchone()


def _fitting(control: Control) -> str:
    if control.kind == "checkbox":
        return "" if control.value == "on" else FITTING.get(control.name, control.value)
    if control.choices and control.name in LEFT_OPEN:
        return ""
    if control.choices:
        return next((choice for choice in control.choices if choice), "")
    if (sort := sort_of(control.name)) in FITTING:
        return FITTING[sort]
    ahead = timedelta(days=30 if sort in STILL_TO_COME else 0)
    day = (timezone.localdate() + ahead).isoformat()
    by_kind = {"date": day, "email": "a@example.org", "url": "https://example.org", "number": "1"}
    if control.kind in by_kind:
        return by_kind[control.kind]
    return control.hint or "felt"


def sentences(page: str) -> tuple[str, ...]:
    """What the page says is wrong."""
    return tuple(" ".join(re.sub("<[^>]+>", " ", found[0]).split()) for found in WRONG.finditer(page))


def _as_shown(text: str) -> str:
    """What a page can say of a text: lines end one way, and what is no character is U+FFFD."""
    shown = unescape(text).replace("\r\n", "\n").replace("\r", "\n")
    return shown.encode("utf-8", "surrogatepass").decode("utf-8", "replace").strip()
