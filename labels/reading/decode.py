"""The general decoder: Code 128 texts in a picture by zbar, and which of them may be believed.

Source: pyzbar, restricted to Code 128, which is what our labels are and much faster than trying every symbology.
"""

from __future__ import annotations

import numpy as np
from pyzbar.pyzbar import ZBarSymbol
from pyzbar.pyzbar import decode as zbar_decode
from pyzbar.pyzbar_error import PyZbarError

from labels.errors import ImageUnreadable
from labels.number import is_label_number
from labels.reading.arrays import Image


def code128_texts(image: Image) -> list[str]:
    """Return the text of every Code 128 symbol that zbar reads, in no particular order.

    Args:
        image: uint8, shape (height, width), grey.

    Raises:
        ImageUnreadable: zbar does not take the picture.
    """
    try:
        found = zbar_decode(np.ascontiguousarray(image), symbols=[ZBarSymbol.CODE128])
    except (PyZbarError, ValueError, TypeError) as error:
        raise ImageUnreadable("This picture cannot be searched for bar codes.", f"zbar: {error!r}") from error
    return list(dict.fromkeys(_text(symbol.data) for symbol in found))


def label_numbers(image: Image) -> list[str]:
    """Return the texts that are label numbers with the right check digit."""
    return [text for text in code128_texts(image) if is_label_number(text)]


def _text(data: bytes) -> str:
    try:
        return data.decode("utf-8")
    except UnicodeDecodeError:
        return data.decode("latin-1")
