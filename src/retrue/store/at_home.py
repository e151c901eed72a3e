"""Addresses of a network of one's own: nobody has them on the internet."""

from __future__ import annotations

from ipaddress import IPv4Address, IPv4Network, IPv6Network, ip_address

HOME = (  # addresses that no one has on the internet
    IPv4Network("10.0.0.0/8"),  # RFC 1918
    IPv4Network("172.16.0.0/12"),
    IPv4Network("192.168.0.0/16"),
    IPv4Network("169.254.0.0/16"),  # RFC 3927
    IPv4Network("127.0.0.0/8"),  # RFC 1122, 3.2.1.3
    IPv4Network("100.64.0.0/10"),  # RFC 6598: some telephones share their line with these
    IPv4Network("192.0.0.0/24"),  # RFC 7335: and some with these
    IPv6Network("fc00::/7"),  # RFC 4193
    IPv6Network("fe80::/10"),  # RFC 4291, 2.5.6
)


def is_at_home(address: str) -> bool:
    """Whether an address is one that nobody has on the internet.

    Examples
    --------
    >>> is_at_home("192.168.43.17"), is_at_home("172.20.10.4"), is_at_home("9.9.9.9")
    (True, True, False)
    """
    one = ip_address(address)
    return any(one in net for net in HOME if isinstance(one, IPv4Address) == (net.version == 4))
