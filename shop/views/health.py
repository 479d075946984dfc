"""For whoever watches the server: is the process there, and can it take requests?"""

import logging

from django.contrib.auth.decorators import login_not_required
from django.db import DatabaseError
from django.http import HttpResponse
from django.views.decorators.cache import never_cache
from django.views.decorators.http import require_safe

from shop.readiness import findings

logger = logging.getLogger(__name__)


@login_not_required
@require_safe
@never_cache
def health(request):
    """The process alone: whoever restarts it for a database that is away makes nothing better."""
    return HttpResponse("Well.\n", content_type="text/plain; charset=utf-8")


@login_not_required
@require_safe
@never_cache
def readiness(request):
    """Database, store and tables. What is wrong in detail is for the owner."""
    found = list(findings())
    is_ready = all(each.is_well for each in found)
    if not is_ready:
        logger.error("Not ready to take requests.")
    words = [
        "Ready." if is_ready else "Not ready.",
        *(each.words for each in found if _asked_by_owner(request)),
    ]
    return HttpResponse(
        "\n".join(words) + "\n", status=200 if is_ready else 503, content_type="text/plain; charset=utf-8"
    )


def _asked_by_owner(request) -> bool:
    try:
        return request.user.has_perm("shop.run_shop")
    except DatabaseError:
        return False
