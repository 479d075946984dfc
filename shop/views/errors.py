"""The page for a fault, told apart from a database that does not answer."""

import sys

from django.views.defaults import server_error as plain_server_error

from shop.middleware import answer_for_silent_database


def server_error(request):
    """Called while the fault is at hand; a session that cannot be read ends here and not in a view."""
    return answer_for_silent_database(sys.exc_info()[1]) or plain_server_error(request)
