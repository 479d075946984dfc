"""`manage.py check` reads what is shipped as files: a gap in it is an error before anybody judges by it."""

from django.core.checks import Error, register

from instruments.calc.condition.enders import sign_faults
from instruments.calc.condition.measures import measure_faults
from instruments.calc.evidence.tell_tales import tell_tale_faults
from instruments.library import MEASURES_FILE, SIGNS_FILE, table_of, tell_tale_table
from instruments.states import Part


@register
def tell_tales_are_sound(app_configs, **options) -> list[Error]:
    return [
        Error(f"fixtures/tell_tales.json: {fault}", id="instruments.E001")
        for fault in tell_tale_faults(tell_tale_table())
    ]


@register
def measures_and_signs_are_sound(app_configs, **options) -> list[Error]:
    return [
        Error(f"fixtures/{file.name}: {fault}", id="instruments.E010")
        for file, faults in ((MEASURES_FILE, measure_faults), (SIGNS_FILE, sign_faults))
        for fault in faults(table_of(file), Part.values)
    ]
