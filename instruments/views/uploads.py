"""Which pages take files."""

from collections.abc import Callable


def accepts_uploads(view: Callable) -> Callable:
    """Mark a view that reads `request.FILES`; any other is refused more than a form's worth of bytes."""
    view.accepts_uploads = True
    return view
