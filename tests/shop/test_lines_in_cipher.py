"""What is spoken to on another machine: in cipher, with a certificate that is looked at, or not at all."""

import socketserver
import ssl
import subprocess
import threading
from contextlib import contextmanager

import pytest
from django.core.exceptions import ImproperlyConfigured
from django.core.mail import EmailMessage

from shop.db.address import database
from shop.environment import media_storage
from shop.mail import mail_server

ASKED = ["openssl", "req", "-x509", "-newkey", "ec", "-pkeyopt", "ec_paramgen_curve:P-256", "-nodes"]
ASKED += ["-days", "2", "-subj", "/CN=localhost", "-addext", "subjectAltName=DNS:localhost,IP:127.0.0.1"]


@pytest.fixture(scope="session")
def certificate(tmp_path_factory):
    """One that nobody vouches for, for this machine."""
    folder = tmp_path_factory.mktemp("certificate")
    paths = folder / "one.pem", folder / "one.key"
    subprocess.run(
        [*ASKED, "-out", paths[0], "-keyout", paths[1]],
        check=True,
        capture_output=True,
    )
    return paths


class _Deaf(socketserver.BaseRequestHandler):
    """Notes what came in once the line was in cipher: nothing may."""

    def handle(self):
        try:
            with self.server.wrapped.wrap_socket(self.request, server_side=True) as line:
                self.server.heard.append(line.recv(1000))
        except OSError:
            self.server.hung_up += 1


@contextmanager
def deaf_server(certificate):
    with socketserver.ThreadingTCPServer(("127.0.0.1", 0), _Deaf) as server:
        server.wrapped = ssl.SSLContext(ssl.PROTOCOL_TLS_SERVER)
        server.wrapped.load_cert_chain(*certificate)
        server.daemon_threads, server.heard, server.hung_up = True, [], 0
        threading.Thread(target=server.serve_forever, daemon=True).start()
        try:
            yield server
        finally:
            server.shutdown()


def test_no_letter_goes_to_a_server_nobody_vouches_for(certificate, settings):
    settings.EMAIL_BACKEND = "django.core.mail.backends.smtp.EmailBackend"
    settings.EMAIL_USE_SSL, settings.EMAIL_USE_TLS, settings.EMAIL_TIMEOUT = True, False, 5
    with deaf_server(certificate) as server:
        settings.EMAIL_HOST, settings.EMAIL_PORT = server.server_address
        with pytest.raises(ssl.SSLCertVerificationError):
            EmailMessage("A", "B", "a@b.example", ["c@d.example"]).send()
    assert server.hung_up and not any(server.heard)


def test_no_file_goes_to_a_store_nobody_vouches_for(certificate, monkeypatch):
    from botocore.exceptions import SSLError

    from shop.object_store import ObjectStore

    with deaf_server(certificate) as server:
        monkeypatch.setenv("WRESTPLANK_S3_BUCKET", "shop")
        monkeypatch.setenv("WRESTPLANK_S3_ENDPOINT", f"https://127.0.0.1:{server.server_address[1]}")
        monkeypatch.setenv("WRESTPLANK_S3_KEY", "k")
        monkeypatch.setenv("WRESTPLANK_S3_SECRET", "s")
        with pytest.raises(SSLError):
            ObjectStore(**media_storage()["OPTIONS"]).bucket.meta.client.head_bucket(Bucket="shop")
    assert server.hung_up and not any(server.heard)


@pytest.mark.parametrize("said", ["", "&connect_timeout=3", "&sslmode=verify-full"])
def test_a_database_elsewhere_is_spoken_to_in_cipher_by_its_name(monkeypatch, tmp_path, said):
    monkeypatch.setenv("DATABASE_URL", f"postgres://ada@db.example/shop?application_name=shop{said}")
    assert database(tmp_path)["OPTIONS"]["sslmode"] == "verify-full"


@pytest.mark.parametrize("weak", ["disable", "allow", "prefer", "require", "verify-ca"])
def test_a_weaker_line_to_a_database_elsewhere_is_refused(monkeypatch, tmp_path, weak):
    monkeypatch.setenv("DATABASE_URL", f"postgres://ada@db.example/shop?sslmode={weak}")
    with pytest.raises(ImproperlyConfigured, match="verify-full"):
        database(tmp_path)


@pytest.mark.parametrize(
    "here", ["postgres://%2Frun%2Fpostgresql/wrestplank", "postgres://ada@127.0.0.1/shop"]
)
def test_a_database_on_this_machine_needs_none(monkeypatch, tmp_path, here):
    monkeypatch.setenv("DATABASE_URL", here)
    told = database(tmp_path)
    assert "sslmode" not in told.get("OPTIONS", {})
    assert told["HOST"] in {"/run/postgresql", "127.0.0.1"}


def test_letters_go_in_the_open_to_this_machine_alone(monkeypatch):
    monkeypatch.setenv("WRESTPLANK_MAIL_SECURITY", "none")
    monkeypatch.setenv("WRESTPLANK_MAIL_FROM", "a@b.example")
    monkeypatch.setenv("WRESTPLANK_MAIL_HOST", "127.0.0.1")
    assert mail_server().security == "none"
    monkeypatch.setenv("WRESTPLANK_MAIL_HOST", "mail.example")
    with pytest.raises(ImproperlyConfigured, match="WRESTPLANK_MAIL_SECURITY"):
        mail_server()


def test_files_go_in_the_open_to_this_machine_alone(monkeypatch):
    monkeypatch.setenv("WRESTPLANK_S3_BUCKET", "shop")
    for address in ("http://127.0.0.1:9000", "https://store.example"):
        monkeypatch.setenv("WRESTPLANK_S3_ENDPOINT", address)
        assert media_storage()["OPTIONS"]["endpoint_url"] == address
    monkeypatch.setenv("WRESTPLANK_S3_ENDPOINT", "http://store.example")
    with pytest.raises(ImproperlyConfigured, match="https://"):
        media_storage()
