"""The language that the kiosk speaks now: every text an operator reads goes through `tr` or `trn`.

The English text is the key. A text with values in it names them, so that a translation may put them in its own order:
`tr("Greased by {name}.").format(name=name)`. A text is translated where it is made into a sentence, never at import.
"""

from __future__ import annotations

import gettext

_now: gettext.NullTranslations = gettext.NullTranslations()


def tr(text: str) -> str:
    """Return a text in the language of whoever stands at the kiosk."""
    return _now.gettext(text)


def trn(one: str, many: str, count: int) -> str:
    """Return the form of a text that goes with a count: `trn("{n} turn", "{n} turns", n).format(n=n)`."""
    return _now.ngettext(one, many, count)
