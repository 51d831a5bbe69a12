"""The kinds of value a key can hold: quantities with their unit, addresses, services, flows."""

from __future__ import annotations

import ipaddress
import re
from collections.abc import Callable
from dataclasses import dataclass
from typing import Annotated, Any, Literal

from pydantic import BeforeValidator, Field, Strict

from topodraw.source.quantities import parse_quantity, quantity_pattern, quantity_sample

Address = ipaddress.IPv4Address | ipaddress.IPv6Address
Network = ipaddress.IPv4Network | ipaddress.IPv6Network


def _quantity(dimension: str) -> BeforeValidator:
    def read(value: Any) -> float:
        return parse_quantity(value, dimension)

    pattern, sample = quantity_pattern(dimension), quantity_sample(dimension)
    written = Annotated[str, Field(pattern=pattern, examples=[sample])]
    return BeforeValidator(read, json_schema_input_type=written)


Truth = Annotated[bool, Strict()]
"""`true` or `false`, and no other word for it."""
Whole = Annotated[int, Strict()]
Number = Annotated[float, Strict(), Field(allow_inf_nan=False)]

Watts = Annotated[float, _quantity("W")]
VoltAmperes = Annotated[float, _quantity("VA")]
Volts = Annotated[float, _quantity("V")]
Amperes = Annotated[float, _quantity("A")]
KilowattHours = Annotated[float, _quantity("kWh")]
Metres = Annotated[float, _quantity("m")]
Millimetres = Annotated[float, _quantity("mm")]
Kilograms = Annotated[float, _quantity("kg")]
KilogramsPerSquareMetre = Annotated[float, _quantity("kg/m2")]
Seconds = Annotated[float, _quantity("s")]
BitsPerSecond = Annotated[int, _quantity("bit/s")]
Bytes = Annotated[int, _quantity("B")]
Fraction = Annotated[float, _quantity("%")]
"""A share: written `80%`, held as 0.8."""


def _as_list(value: Any) -> Any:
    return [value] if isinstance(value, str) else value


ONE_OR_MORE = BeforeValidator(_as_list, json_schema_input_type=str | list[str])
"""Put on a tuple: one item may be written without the brackets of a list."""

OneOrMore = Annotated[tuple[str, ...], ONE_OR_MORE]


def text_field(read: Callable[[str], object], sample: str) -> BeforeValidator:
    """A validator that reads text written like `sample`; the value of anything else is refused."""

    def validate(value: Any) -> object:
        if not isinstance(value, str):
            raise ValueError(f"{value!r} is not text")
        return read(value)

    return BeforeValidator(validate, json_schema_input_type=Annotated[str, Field(examples=[sample])])


def _network(text: str) -> Network:
    try:
        return ipaddress.ip_network(text)
    except ValueError:
        pass
    try:
        wider = ipaddress.ip_network(text, strict=False)
    except ValueError:
        raise ValueError(f"{text!r} is not a subnet such as 192.0.2.0/24") from None
    raise ValueError(f"{text} is an address inside a subnet: write {wider}")


def _address(text: str) -> Address:
    try:
        return ipaddress.ip_address(text)
    except ValueError:
        raise ValueError(f"{text!r} is not an address such as 192.0.2.10") from None


Subnet = Annotated[Network, text_field(_network, "192.0.2.0/24")]
HostAddress = Annotated[Address, text_field(_address, "192.0.2.10")]


def _prefix(text: str) -> Network | str:
    return "default" if text == "default" else _network(text)


Prefix = Annotated[Network | Literal["default"], text_field(_prefix, "192.0.2.0/24")]
"""Where a route leads to: a subnet, or `default`."""

_MAC = re.compile(r"[0-9a-f]{2}(:[0-9a-f]{2}){5}")


def _mac(text: str) -> str:
    lowered = text.lower().replace("-", ":")
    if not _MAC.fullmatch(lowered):
        raise ValueError(f"{text!r} is not a MAC address such as 02:00:5e:10:00:01")
    return lowered


MacAddress = Annotated[str, text_field(_mac, "02:00:5e:10:00:01")]
"""Six octets, lower case, with colons."""

_SERVICE = re.compile(r"(?:(tcp|udp)/([0-9]{1,5})(?:-([0-9]{1,5}))?|icmp|any)")


def _service(text: str) -> str:
    match = _SERVICE.fullmatch(text)
    ports = [int(port) for port in match.groups()[1:] if port] if match else []
    if not match or not all(1 <= port <= 65535 for port in ports) or ports != sorted(ports):
        raise ValueError(f"{text!r} is not a service: write tcp/443, udp/53, tcp/5000-5010, icmp or any")
    return text


Service = Annotated[str, text_field(_service, "tcp/443")]


@dataclass(frozen=True, slots=True)
class Flow:
    """Who starts talking to whom, as written: `a -> b`, or `a <-> b` for both ways."""

    source: str
    target: str
    both_ways: bool

    def __str__(self) -> str:
        return f"{self.source} {'<->' if self.both_ways else '->'} {self.target}"


_FLOW = re.compile(r"(.+?)\s*(<->|->)\s*(.+)")


def _flow(text: str) -> Flow:
    match = _FLOW.fullmatch(text.strip())
    if not match or "->" in match[3]:
        raise ValueError(f"{text!r} is not a flow: write 'a -> b' or 'a <-> b'")
    return Flow(match[1], match[3], match[2] == "<->")


FlowText = Annotated[Flow, text_field(_flow, "science -> servers")]

State = Literal["in-service", "planned", "switched-off", "spare"]
Medium = Literal["Cat5e", "Cat6", "Cat6A", "OM1", "OM2", "OM3", "OM4", "OM5", "OS1", "OS2", "twinax", "radio"]
