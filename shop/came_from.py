"""Where a request comes from."""

from ipaddress import ip_address, ip_network


def address_of(request) -> str:
    """Where it comes from, a home's network of IPv6 as one.

    A proxy on this machine says it last in X-Forwarded-For; from anywhere else that header says nothing.
    """
    peer = request.META.get("REMOTE_ADDR", "")
    said = request.headers.get("X-Forwarded-For", "").rpartition(",")[2].strip()
    for text in (said, peer) if not peer or peer in {"127.0.0.1", "::1"} else (peer,):
        try:
            address = ip_address(text)
        except ValueError:
            continue
        return str(ip_network((address, 64), strict=False)) if address.version == 6 else str(address)
    return ""
