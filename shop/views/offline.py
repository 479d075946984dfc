"""The script that opens pages again without a connection: it may watch over what lies under its address."""

from django.conf import settings
from django.contrib.auth.decorators import login_not_required
from django.http import HttpResponse
from django.views.decorators.cache import never_cache
from django.views.decorators.http import require_safe

SCRIPT = settings.BASE_DIR / "static" / "js" / "offline_worker.js"


@login_not_required
@require_safe
@never_cache
def offline_worker(request):
    return HttpResponse(SCRIPT.read_text(), content_type="text/javascript; charset=utf-8")
