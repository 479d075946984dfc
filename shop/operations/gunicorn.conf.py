"""How gunicorn serves the shop: `gunicorn shop.wsgi --config shop/operations/gunicorn.conf.py`."""

from shop.request_log import logging_settings

bind = "127.0.0.1:8000"  # without systemd; with it, the socket that wrestplank.socket hands over
worker_class = "gthread"
workers, threads = 2, 16
timeout, graceful_timeout = 60, 30
# A worker that grew is replaced now and then, not all at one moment.
max_requests, max_requests_jitter = 20_000, 2_000
control_socket_disable = True
preload_app = True
logconfig_dict = logging_settings() | {
    "loggers": {
        name: {"handlers": ["lines"], "level": "INFO", "propagate": False} for name in ("gunicorn.error",)
    }
}
