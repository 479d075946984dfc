"""The pages for what went wrong. A fault of ours is told apart from a database or a disk that failed us.

Django's own pages look for the CSRF token in the body once more. Where the body is what could not be read (a
form without a boundary, too many fields), that fails a second time, and a bad request would be answered as
a fault of ours. Nothing on these pages wants the token, so they are taken without that.
"""

import sys
from inspect import unwrap

from django.views import defaults

from shop.not_now import answer_for_trouble

bad_request = unwrap(defaults.bad_request)
permission_denied = unwrap(defaults.permission_denied)
page_not_found = unwrap(defaults.page_not_found)
plain_server_error = unwrap(defaults.server_error)


def server_error(request):
    """Called while the fault is at hand; a session that cannot be read ends here and not in a view."""
    return answer_for_trouble(request, sys.exc_info()[1]) or plain_server_error(request)
