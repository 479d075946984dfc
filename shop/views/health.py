"""For whoever watches the server: is it there, and does its database answer?"""

import logging

from django.contrib.auth.decorators import login_not_required
from django.db import DatabaseError, connection
from django.http import HttpResponse
from django.views.decorators.cache import never_cache
from django.views.decorators.http import require_safe

logger = logging.getLogger(__name__)


@login_not_required
@require_safe
@never_cache
def health(request):
    try:
        with connection.cursor() as cursor:
            cursor.execute("SELECT 1")
    except DatabaseError:
        logger.exception("The database does not answer.")
        return HttpResponse("The database does not answer.\n", status=503, content_type="text/plain")
    return HttpResponse("Well.\n", content_type="text/plain")
