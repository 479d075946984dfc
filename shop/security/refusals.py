"""Every refusal stands in the log: who wanted what, and from where."""

import logging

from django.db import DatabaseError

from shop.actions.log import write_log, write_strangers
from shop.came_from import address_of
from shop.log_states import LogKind

logger = logging.getLogger(__name__)


class RefusalsInTheLog:
    """In front of CsrfViewMiddleware, which refuses as well. Only the name of an address is kept."""

    def __init__(self, get_response):
        self.get_response = get_response

    def __call__(self, request):
        response = self.get_response(request)
        if response.status_code == 403:
            _write_down(request)
        return response


def _write_down(request) -> None:
    """Where nothing can be written now it is refused all the same, and told to the server's own log."""
    name = request.resolver_match.view_name if request.resolver_match else "an address that leads nowhere"
    said = {"kind": LogKind.DENIED, "what": f"{request.method} {name}", "address": address_of(request)}
    user = getattr(request, "user", None)
    try:
        if user is not None and user.is_authenticated:
            write_log(who=user, **said)
        else:
            write_strangers(**said)
    except DatabaseError:
        logger.warning("Refused, and not in the log: %s", said["what"], exc_info=True)
