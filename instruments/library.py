"""The library of tell-tales as it is shipped: a file that anybody may read and a shop may change."""

import json

from django.conf import settings

from instruments.calc.evidence.tell_tales import Question, questions_from

TELL_TALES_FILE = settings.BASE_DIR / "fixtures" / "tell_tales.json"


def tell_tale_table() -> list[dict]:
    return json.loads(TELL_TALES_FILE.read_text(encoding="utf-8"))


def questions() -> tuple[Question, ...]:
    return questions_from(tell_tale_table())
