"""What holds while one page is made."""

from shop.models import ShopProfile


class OneProfile:
    """A page that changes nothing reads whose shop this is once; what changes something reads it anew."""

    def __init__(self, get_response):
        self.get_response = get_response

    def __call__(self, request):
        if request.method not in ("GET", "HEAD"):
            return self.get_response(request)
        with ShopProfile.kept_meanwhile():
            return self.get_response(request)
