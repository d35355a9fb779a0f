"""Pairing: a code shown on the laptop lets a phone in, once, for a few minutes."""

from __future__ import annotations

import secrets
import threading
import time
from collections import deque
from collections.abc import Callable
from dataclasses import dataclass
from datetime import UTC, datetime
from enum import StrEnum
from pathlib import Path

import cv2
import numpy as np

from giornata.desk.paired import (
    Device,
    pair_device,
    paired_devices,
    revoke_device,
    token_digest,
)

__all__ = ["CODE_LIVES", "OpenCode", "Pairing", "Refused", "qr_path"]

CODE_LIVES = 300.0  # s
WRONG_TRIES = 5  # then the code is dead and the laptop makes another
TRIES = 10  # of one address in the time a code lives
_ALPHABET = "abcdefghjkmnpqrstuvwxyz23456789"  # no i, l, o, 0, 1: it may have to be typed
_GROUPS, _GROUP = 3, 4  # 31^12 codes
_QUIET = 4  # modules around a QR code: ISO/IEC 18004:2015, 6.3.8
_LONGEST_NAME = 24
_MOST_ADDRESSES = 256


class Refused(StrEnum):
    """Why a device is not let in."""

    TOO_OFTEN = "too often"
    NO_CODE = "no code"
    WRONG = "wrong"


@dataclass(frozen=True, slots=True, kw_only=True)
class OpenCode:
    """The code that lets the next device in.

    Parameters
    ----------
    code : str
    until : float
        When it dies, by the clock of `Pairing`. [s]
    """

    code: str
    until: float


class Pairing:
    """Who may steer the night: one open code at most, and the devices that used one.

    Parameters
    ----------
    folder : Path
        The job folder, whose log keeps the devices.
    clock : callable
        Seconds that only go forward.
    """

    def __init__(self, folder: Path, *, clock: Callable[[], float] = time.monotonic) -> None:
        self._folder = folder
        self._clock = clock
        self._lock = threading.Lock()
        self._code: OpenCode | None = None
        self._wrong = 0
        self._tried: dict[str, deque[float]] = {}
        self._devices = {device.digest: device for device in paired_devices(folder)}

    @property
    def devices(self) -> tuple[Device, ...]:
        """Devices that may steer, in the order they were paired."""
        with self._lock:
            return tuple(sorted(self._devices.values(), key=lambda device: device.number))

    @property
    def left(self) -> float:
        """How long the open code still lives; 0 where none is open. [s]"""
        with self._lock:
            return 0.0 if self._code is None else max(0.0, self._code.until - self._clock())

    def open_code(self) -> str:
        """A new code; the one before is dead."""
        groups = ("".join(secrets.choice(_ALPHABET) for _ in range(_GROUP)) for _ in range(_GROUPS))
        with self._lock:
            self._code = OpenCode(code="-".join(groups), until=self._clock() + CODE_LIVES)
            self._wrong = 0
            return self._code.code

    def close_code(self) -> None:
        """Let nobody else in."""
        with self._lock:
            self._code = None

    def pair(self, code: str, name: str, address: str) -> tuple[Device, str] | Refused:
        """Let a device in: the device and the token that it keeps; or why not.

        Parameters
        ----------
        name : str
            What its owner calls it; "" for a name by number.
        address : str
            Where it asks from; each may try a few times only.

        Raises
        ------
        JobFolderError
            If the log cannot be written.
        """
        with self._lock:
            now = self._clock()
            if self._too_often(address, now):
                return Refused.TOO_OFTEN
            if self._code is None or now >= self._code.until:
                self._code = None
                return Refused.NO_CODE
            typed = code.strip().lower().encode()
            if not secrets.compare_digest(typed, self._code.code.encode()):
                self._wrong += 1
                if self._wrong >= WRONG_TRIES:
                    self._code = None
                return Refused.WRONG
            self._code = None
            token = secrets.token_urlsafe(32)
            called = " ".join(name.split())[:_LONGEST_NAME] or f"Phone {len(self._devices) + 1}"
            device = pair_device(self._folder, token, called, at=datetime.now(UTC))
            self._devices[device.digest] = device
            return device, token

    def device_of(self, token: str) -> Device | None:
        """The device that keeps this token; None for a token that lets nobody in."""
        digest = token_digest(token)
        with self._lock:
            return self._devices.get(digest)

    def stands(self, device: Device) -> bool:
        """Whether a device may still steer."""
        with self._lock:
            return device.digest in self._devices

    def revoke(self, number: int) -> Device:
        """Let a device steer no more.

        Raises
        ------
        JobFolderError
            If no such device is paired.
        """
        with self._lock:
            device = revoke_device(self._folder, number, at=datetime.now(UTC))
            self._devices.pop(device.digest, None)
            return device

    def _too_often(self, address: str, now: float) -> bool:
        if address not in self._tried and len(self._tried) >= _MOST_ADDRESSES:
            del self._tried[next(iter(self._tried))]
        tried = self._tried.setdefault(address, deque())
        while tried and now - tried[0] > CODE_LIVES:
            tried.popleft()
        if len(tried) >= TRIES:
            return True
        tried.append(now)
        return False


def qr_path(text: str) -> tuple[int, str]:
    """A QR code as its side in modules and the path of its dark modules, for an SVG drawing."""
    image = cv2.QRCodeEncoder.create().encode(text)  # the encoder's own rim is too narrow
    dark = np.asarray(image) < 128
    rows, columns = np.flatnonzero(dark.any(axis=1)), np.flatnonzero(dark.any(axis=0))
    dark = dark[rows[0] : rows[-1] + 1, columns[0] : columns[-1] + 1]
    path = "".join(f"M{x + _QUIET} {y + _QUIET}h1v1h-1z" for y, x in np.argwhere(dark).tolist())
    return len(dark) + 2 * _QUIET, path
