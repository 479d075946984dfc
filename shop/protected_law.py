"""The law on protected materials as it is shipped: fixtures/protected_materials.json."""

import json
from functools import cache

from django.conf import settings

from shop.calc.protected import Law
from shop.calc.protected_table import laws_from

LAW_FILE = settings.BASE_DIR / "fixtures" / "protected_materials.json"


def law_table() -> dict:
    return json.loads(LAW_FILE.read_text(encoding="utf-8"))


@cache
def _laws() -> dict[str, Law]:
    return laws_from(law_table())


def law_of(jurisdiction: str) -> Law:
    return _laws()[jurisdiction]
