"""People at work as browsers are: what was said to them is read on the page that follows."""

import threading
from http.server import BaseHTTPRequestHandler, ThreadingHTTPServer
from types import SimpleNamespace

from tests.concurrency.callers import Answer, Caller
from tests.trust.traffic import Act
from tests.trust.writers import Writer


def test_words_are_read_after_each_act_and_the_session_is_kept():
    caller = SimpleNamespace(cookies={"messages": "Received.", "sessionid": "abc"})
    answer = Answer(302, "/sales/S26-001/", "", 0.0)
    act = Act("pay", 1, SimpleNamespace(caller=caller, press=lambda: answer))
    act.press()
    assert (act.is_acknowledged, caller.cookies) == (True, {"sessionid": "abc"})


class Door(BaseHTTPRequestHandler):
    """Says to whoever asks from where they came."""

    protocol_version = "HTTP/1.1"

    def do_GET(self):
        told = str(self.client_address[1]).encode()
        self.send_response(200)
        self.send_header("Content-Length", str(len(told)))
        self.end_headers()
        self.wfile.write(told)

    def log_message(self, *given):
        pass


def test_a_writer_keeps_their_line_and_other_callers_do_not():
    with ThreadingHTTPServer(("127.0.0.1", 0), Door) as door:
        threading.Thread(target=door.serve_forever).start()
        try:
            writer, caller = (kind.__new__(kind) for kind in (Writer, Caller))
            lines = []
            for each in (writer, caller):
                each.port, each.cookies = door.server_port, {}
                lines.append({each.get("/").page for _ in range(2)})
            writer.kept.close()
        finally:
            door.shutdown()
    assert [len(each) for each in lines] == [1, 2]
