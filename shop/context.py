"""What every page is told: whose shop this is."""


def shop(request) -> dict:
    return {}
