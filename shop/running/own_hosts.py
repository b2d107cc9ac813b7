"""The names and addresses under which this machine can be reached on its own network.

A page elsewhere can give its own name this machine's address, and then read what it likes of an
app that answers to any name. Addresses that come later, on another network, are known after the
next start.
"""

import ipaddress
import platform
from collections.abc import Iterable
from urllib.parse import urlsplit

import ifaddr

ALWAYS = ("localhost", "127.0.0.1", "[::1]")


def own_hosts() -> list[str]:
    """What a browser may write in its address line to mean this machine.

    Returns:
        Names and addresses, each once; those of IPv6 in brackets.
    """
    name = platform.node().lower()
    names = [name, f"{name.partition('.')[0]}.local"] if name else []
    return [*dict.fromkeys((*ALWAYS, *names, *own_addresses()))]


def own_addresses() -> list[str]:
    """The addresses of all of its networks.

    Returns:
        Addresses as they stand in an address line, without those of one cable only.
    """
    found = []
    for adapter in ifaddr.get_adapters():
        for one in adapter.ips:
            address = ipaddress.ip_address(one.ip if isinstance(one.ip, str) else one.ip[0])
            if not address.is_link_local:
                found.append(str(address) if address.version == 4 else f"[{address}]")
    return found


def hosts_of(origins: Iterable[str]) -> list[str]:
    """The names in addresses that the shop was told of.

    Args:
        origins: addresses with their scheme; one without is passed over.

    Returns:
        Their names, without ports, in the same order.

    >>> hosts_of(["https://forge.example", "http://127.0.0.1:8000"])
    ['forge.example', '127.0.0.1']
    """
    return [name for one in origins if (name := urlsplit(one).hostname)]
