"""Addresses: by which a phone on the local network can reach this laptop."""

from __future__ import annotations

import ipaddress
import socket
from contextlib import suppress

__all__ = ["local_addresses", "own_address"]

# One address of each private range (RFC 1918) and of link-local (RFC 3927): asked which of this
# machine's addresses would be used towards it. Nothing is sent.
_TOWARDS = ("10.255.255.254", "172.31.255.254", "192.168.255.254", "169.254.255.254")


def local_addresses() -> tuple[str, ...]:
    """IPv4 addresses of this machine on local networks, the likeliest first."""
    found: list[str] = []
    for address in _TOWARDS:
        with socket.socket(socket.AF_INET, socket.SOCK_DGRAM) as asked:
            try:
                asked.connect((address, 9))
                found.append(str(asked.getsockname()[0]))
            except OSError:  # no network that way
                continue
    with suppress(OSError):  # the machine does not know its own name
        found += [str(one[4][0]) for one in socket.getaddrinfo(socket.gethostname(), None)]
    return tuple(dict.fromkeys(one for one in found if own_address(one)))


def own_address(text: str) -> bool:
    """Whether a text is an address of a private or link-local IPv4 network, not of this machine.

    Examples
    --------
    >>> own_address("192.168.7.2"), own_address("127.0.0.1"), own_address("8.8.8.8")
    (True, False, False)
    """
    try:
        address = ipaddress.IPv4Address(text)
    except ValueError:
        return False
    return address.is_private and not address.is_loopback and not address.is_unspecified
