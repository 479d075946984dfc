"""The page for a fault of ours, told apart from a database or a disk that failed us."""

import sys

from django.views.defaults import server_error as plain_server_error

from shop.not_now import answer_for_trouble


def server_error(request):
    """Called while the fault is at hand; a session that cannot be read ends here and not in a view."""
    return answer_for_trouble(request, sys.exc_info()[1]) or plain_server_error(request)
