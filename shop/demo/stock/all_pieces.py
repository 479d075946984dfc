from shop.demo.pieces import Piece
from shop.demo.stock import (
    grand_and_square,
    halden,
    just_logged,
    keys_and_touch,
    lent,
    nearly_ready,
    sold,
    strings_and_pins,
    window_more,
    window_uprights,
)

PIECES: tuple[Piece, ...] = (
    *halden.PIECES,
    *grand_and_square.PIECES,
    *window_uprights.PIECES,
    *window_more.PIECES,
    *lent.PIECES,
    *sold.PIECES,
    *keys_and_touch.PIECES,
    *strings_and_pins.PIECES,
    *nearly_ready.PIECES,
    *just_logged.PIECES,
)
