"""What is shipped as files that anybody may read: tell-tales, measures of a part, signs, lines for pins."""

import json
from functools import cache
from pathlib import Path

from django.conf import settings

from instruments.calc.condition.enders import Sign, signs_from
from instruments.calc.condition.measures import Measure, measures_from
from instruments.calc.evidence.tell_tales import Question, questions_from

TELL_TALES_FILE = settings.BASE_DIR / "fixtures" / "tell_tales.json"
MEASURES_FILE = settings.BASE_DIR / "fixtures" / "condition_measures.json"
SIGNS_FILE = settings.BASE_DIR / "fixtures" / "condition_signs.json"
PIN_LINES_FILE = settings.BASE_DIR / "fixtures" / "pin_lines.json"


def tell_tale_table() -> list[dict]:
    return json.loads(TELL_TALES_FILE.read_text(encoding="utf-8"))


def questions() -> tuple[Question, ...]:
    return questions_from(tell_tale_table())


def table_of(file: Path) -> list[dict]:
    return json.loads(file.read_text(encoding="utf-8"))


@cache
def condition_measures() -> tuple[Measure, ...]:
    return measures_from(table_of(MEASURES_FILE))


@cache
def condition_signs() -> tuple[Sign, ...]:
    return signs_from(table_of(SIGNS_FILE))


def pin_line_table() -> list[dict]:
    """`torque` in its own `unit`, `meaning`, `source`."""
    return table_of(PIN_LINES_FILE)
