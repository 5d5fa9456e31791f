"""The kiosk's log: on stderr, and in a few files of the shop's folder that can never fill a disk."""

from __future__ import annotations

import logging
from logging.handlers import RotatingFileHandler
from pathlib import Path

from kiosk.config import FILE_NAME as SHOP_FILE

FOLDER = "log"
FILE_NAME = "kiosk.log"
FILE_BYTES = 1_000_000
FILES_KEPT = 5
_FORMAT = "%(asctime)s %(levelname)s %(name)s: %(message)s"


def keep_log(folder: Path, file_bytes: int = FILE_BYTES) -> None:
    """Log to stderr and, in a shop that can be written to, to `log/kiosk.log` and five older files.

    Args:
        folder: The shop's folder.
        file_bytes: How large one file becomes. [bytes]
    """
    logging.basicConfig(level=logging.INFO, format=_FORMAT)
    if not (folder / SHOP_FILE).exists():
        return
    try:
        (folder / FOLDER).mkdir(exist_ok=True)
        handler = RotatingFileHandler(folder / FOLDER / FILE_NAME, maxBytes=file_bytes, backupCount=FILES_KEPT,
                                      encoding="utf-8")
    except OSError as error:  # a disk that may only be read: the kiosk opens all the same
        logging.getLogger(__name__).warning("no log file: %s", error)
        return
    handler.setFormatter(logging.Formatter(_FORMAT))
    logging.getLogger().addHandler(handler)
