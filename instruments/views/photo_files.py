"""The files of a photo, for those who have signed in. The public's are sent by the window's own view."""

from django.contrib.auth.decorators import permission_required
from django.core.exceptions import PermissionDenied
from django.http import Http404
from django.shortcuts import get_object_or_404
from django.views.decorators.http import require_safe

from instruments.media import serve_file
from instruments.models import Photo, WaitingPhoto

PICTURES = {"thumb": "image/webp", "medium": "image/webp", "page": "image/webp", "print": "image/jpeg"}


@require_safe
def photo_file(request, stock_number, pk, size):
    photo = get_object_or_404(Photo, pk=pk, instrument__stock_number=stock_number)
    if size == "original":
        return _original(request, photo)
    if size not in PICTURES:
        raise Http404("There is no such size.")
    return serve_file(request, getattr(photo, size), media_type=PICTURES[size])


def _original(request, photo: Photo):
    """As it came from the camera, so as a download, and only for those who record."""
    if not request.user.has_perm("instruments.inspect_instrument"):
        raise PermissionDenied
    return serve_file(request, photo.original, media_type=photo.media_type, download_name=photo.original_name)


@require_safe
@permission_required("instruments.log_instrument", raise_exception=True)
def waiting_photo_file(request, pk):
    photo = get_object_or_404(WaitingPhoto, pk=pk, uploaded_by=request.user)
    return serve_file(request, photo.thumb, media_type=PICTURES["thumb"])
