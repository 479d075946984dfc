"""Sending the bench's forms as a browser does."""

import uuid

from tests import make


def send(client, url: str, **fields):
    """Post a form with a token of its own."""
    return client.post(url, {"form_token": uuid.uuid4().hex} | fields)


def item_and_its_prerequisite():
    """“Set the touch weight”, which waits for “Lubricate the action”."""
    lubricate = make.make_item(name="Lubricate the action")
    weigh = make.make_item(
        order=lubricate.order, name="Set the touch weight", rank=14, needs=[lubricate], acceptance="touch"
    )
    return weigh, lubricate
