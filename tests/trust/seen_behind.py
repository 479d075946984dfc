"""A program behind nginx and gunicorn that answers with what reached it: method, path and body, a line each.

Every request is also written to the file SEEN names, so that one whose answer nobody read is known as well.
"""

import json
import os
from pathlib import Path


def application(environ, start_response):
    body = environ["wsgi.input"].read()
    seen = {"method": environ["REQUEST_METHOD"], "path": environ["PATH_INFO"], "body": body.decode("latin-1")}
    seen |= {
        "from": environ.get("HTTP_X_FORWARDED_FOR", ""),
        "scheme": environ.get("HTTP_X_FORWARDED_PROTO", ""),
    }
    line = json.dumps(seen) + "\n"
    with Path(os.environ["SEEN"]).open("a") as seen_file:
        seen_file.write(line)
    start_response("200 OK", [("Content-Type", "application/json"), ("Content-Length", str(len(line)))])
    return [line.encode()]
