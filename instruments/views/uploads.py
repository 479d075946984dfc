"""Which pages take files."""

from collections.abc import Callable


def accepts_uploads(view: Callable) -> Callable:
    """Mark a view that reads `request.FILES`; any other is refused more than a form's worth of bytes."""
    view.accepts_uploads = True
    return view


def accepts_uploads_from_strangers(limit: Callable[..., int]) -> Callable:
    """Mark a view that takes files without a login; `limit(**kwargs)` says how many bytes this address may.

    It is asked before a byte of the body is read, and only where more comes than any stranger may send.
    """

    def mark(view: Callable) -> Callable:
        view.strangers_limit = limit
        return view

    return mark
