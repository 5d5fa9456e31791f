"""Where the hub is and how a kiosk gets in: the address of kiosk.toml, and the secret from a file of strict mode.

The secret is never part of the address, so that it stands in no setting, command line, log or error. On any computer
but this one the connection is encrypted and the hub's certificate is checked, unless the address says otherwise.
"""

from __future__ import annotations

import os
import stat
from dataclasses import dataclass, field
from pathlib import Path
from typing import TYPE_CHECKING, Any

from kiosk.errors import HubUnavailable
from kiosk.language import tr

if TYPE_CHECKING:
    import psycopg

CONNECT_TIMEOUT_S = 5
_HERE = ("localhost", "127.0.0.1", "::1")
_LONGEST_SECRET = 200


@dataclass(frozen=True)
class HubAddress:
    """A hub's address with what is needed to get in.

    Args:
        url: 'postgresql://host/yard?sslmode=verify-full&sslrootcert=/etc/ssl/yard.pem', without a secret.
        secret_file: Holds the secret in its first line; '' where the hub asks for none (a socket, a certificate).
        role: Whose account, where the address does not say.
    """

    url: str
    secret_file: Path | None
    role: str = field(default="")

    def connect(self, application: str) -> psycopg.Connection[Any]:
        """Open a connection that commits each statement by itself.

        Raises:
            HubUnavailable: it cannot be reached, does not let us in, or its certificate is not the right one.
        """
        try:
            import psycopg
            from psycopg.conninfo import conninfo_to_dict
        except ImportError as error:
            raise HubUnavailable(tr("This installation cannot speak to a hub. Install the package with its extra "
                                    "'hub'."), repr(error), "address") from error
        try:
            known = conninfo_to_dict(self.url)
        except psycopg.Error as error:
            raise HubUnavailable(tr("The hub's address in 'hub' cannot be read."), kind="address") from error
        parts: dict[str, Any] = {key: value for key, value in known.items() if value is not None}
        if "password" in parts:
            raise HubUnavailable(tr("The hub's address must not hold a secret; put it into the file of "
                                    "'hub_secret'."), kind="address")
        parts |= {key: value for key, value in self._defaults(parts, application).items() if key not in parts}
        secret = self._secret()
        try:
            return psycopg.connect(**parts, password=secret, autocommit=True)
        except psycopg.Error as error:
            raise refused(error, secret) from None  # the original may quote what was sent

    def _defaults(self, parts: dict[str, Any], application: str) -> dict[str, Any]:
        host = str(parts.get("host") or parts.get("hostaddr") or "/")
        strict = {} if host in _HERE or host.startswith("/") else {"sslmode": "verify-full", "sslrootcert": "system"}
        if "sslmode" in parts or "sslrootcert" in parts:
            strict = {}
        role = self.role.format(database=parts.get("dbname", "yard"))
        return {**strict, **({"user": role} if role else {}), "connect_timeout": CONNECT_TIMEOUT_S,
                "application_name": application, "keepalives_idle": 10, "keepalives_interval": 5,
                "keepalives_count": 3, "tcp_user_timeout": 20_000, "options": "-c statement_timeout=60000"}

    def _secret(self) -> str | None:
        if self.secret_file is None:
            return None
        return read_secret(self.secret_file)


def role_of(kiosk: int) -> str:
    """Return the name of a kiosk's account, with the database's name to be put in."""
    return f"{{database}}_kiosk_{kiosk:02d}"


def read_secret(path: Path) -> str:
    """Return the secret in a file that nobody else may read.

    Raises:
        HubUnavailable: there is none, or others may read it.
    """
    try:
        mode = path.stat().st_mode
        if stat.S_IMODE(mode) & 0o077:
            raise HubUnavailable(tr("Others may read the hub's secret. Run 'chmod 600 {path}' and set a new secret by "
                                    "'kiosk hub init' if somebody could have.").format(path=path), kind="secret")
        text = path.read_text(encoding="utf-8").partition("\n")[0].strip()
    except (OSError, UnicodeError) as error:
        raise HubUnavailable(tr("The file of the hub's secret, {path}, cannot be read.").format(path=path),
                             kind="secret") from error
    if not 0 < len(text) <= _LONGEST_SECRET:
        raise HubUnavailable(tr("The file of the hub's secret, {path}, holds none.").format(path=path),
                             kind="secret")
    return text


def write_secret(path: Path, secret: str) -> None:
    """Write a secret to a new file that nobody else may read.

    Raises:
        HubUnavailable: there is a file already, or it cannot be written.
    """
    try:
        file = os.open(path, os.O_WRONLY | os.O_CREAT | os.O_EXCL, 0o600)
    except OSError as error:
        raise HubUnavailable(tr("{path} cannot be written: {why}. A secret is never overwritten.").format(
            path=path, why=error.strerror), kind="secret") from error
    with os.fdopen(file, "w", encoding="utf-8") as out:
        out.write(secret + "\n")


def refused(error: Exception, secret: str | None = None) -> HubUnavailable:
    """Return what a failed connection or statement means, in a sentence; nothing secret is in it."""
    text = str(error).strip()
    if secret:
        text = text.replace(secret, "…")
    for part, kind, sentence in _MEANS:
        if part in text:
            return HubUnavailable(tr(sentence), text, kind)
    return HubUnavailable(tr("The hub cannot be reached; the kiosk works on alone."), text, "away")


_MEANS = (
    ("certificate verify failed", "certificate", "The hub's certificate is not one that this kiosk trusts; nothing was "
     "sent. Look at 'sslrootcert', and whether the hub is the right one."),
    ("does not match host name", "certificate", "The hub's certificate is for another computer; nothing was sent."),
    ("root certificate file", "certificate", "The file of the hub's trusted certificate ('sslrootcert') is not there."),
    ("server does not support SSL", "certificate", "The hub does not encrypt; nothing was sent. See 'sslmode'."),
    ("password authentication failed", "secret", "The hub does not take this kiosk's secret. Set a new one by 'kiosk "
     "hub init'."),
    ("no password supplied", "secret", "The hub asks for a secret; name its file in 'hub_secret'."),
    ("role", "account", "The hub has no account for this kiosk. Make it by 'kiosk hub init'."),
    ("database", "account", "The hub has no such database, or it is not made ready. Run 'kiosk hub init'."),
)
