"""Paired devices: which phones may steer the night, kept in the site log so that a restart knows.

The log holds a digest of what a device keeps, never the thing itself: who copies the job folder
cannot pass for a device with it.
"""

from __future__ import annotations

import hashlib
from dataclasses import dataclass
from datetime import datetime
from pathlib import Path

from giornata.core.foundation import JobFolderError
from giornata.desk.verbs import events, job_path
from giornata.files.site_log import Event, SiteLog

__all__ = ["Device", "pair_device", "paired_devices", "revoke_device", "token_digest"]

_KIND = "device paired"


@dataclass(frozen=True, slots=True, kw_only=True)
class Device:
    """A device that was paired and not revoked.

    Parameters
    ----------
    number : int
        Of its event in the site log. [-]
    name : str
        As it is called on the laptop.
    at : datetime
        When it was paired, with its time zone.
    digest : str
        Of the token that it keeps.
    """

    number: int
    name: str
    at: datetime
    digest: str


def token_digest(token: str) -> str:
    """Digest by which a device's token is known again.

    Examples
    --------
    >>> len(token_digest("a token"))
    48
    """
    return hashlib.blake2b(b"giornata " + token.encode(), digest_size=24).hexdigest()


def paired_devices(folder: Path) -> tuple[Device, ...]:
    """Devices that may steer, in the order they were paired.

    Raises
    ------
    JobFolderError
        If there is no such folder, or its log cannot be read.
    """
    return tuple(_device(event) for event in events(folder) if event.kind == _KIND)


def pair_device(folder: Path, token: str, name: str, *, at: datetime) -> Device:
    """Write down that a device may steer from now on.

    Parameters
    ----------
    token : str
        What the device keeps; only its digest is written.

    Raises
    ------
    JobFolderError
        If the log cannot be written.
    """
    with SiteLog(job_path(folder).parent / "site.sqlite") as log:
        return _device(log.append(_KIND, name, {"digest": token_digest(token)}, at=at))


def revoke_device(folder: Path, number: int, *, at: datetime) -> Device:
    """Take back that a device may steer.

    Returns
    -------
    Device
        The one that may not any more.

    Raises
    ------
    JobFolderError
        If no such device is paired.
    """
    with SiteLog(job_path(folder).parent / "site.sqlite") as log:
        for event in log.events():
            if event.kind == _KIND and event.number == number:
                log.undo(event, at=at)
                return _device(event)
    raise JobFolderError(
        "That device is not paired.", remedy="Load the page again; it lists those that are."
    )


def _device(event: Event) -> Device:
    return Device(
        number=event.number,
        name=event.subject,
        at=event.at,
        digest=str(event.data.get("digest", "")),
    )
