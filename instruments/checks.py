"""`manage.py check` reads the library of tell-tales: a gap in it is an error before anybody judges by it."""

from django.core.checks import Error, register

from instruments.calc.evidence.tell_tales import tell_tale_faults
from instruments.library import tell_tale_table


@register
def tell_tales_are_sound(app_configs, **options) -> list[Error]:
    return [
        Error(f"fixtures/tell_tales.json: {fault}", id="instruments.E001")
        for fault in tell_tale_faults(tell_tale_table())
    ]
