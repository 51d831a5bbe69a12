"""Spanning-tree timers against RFC 4188 and the digests that IEEE 802.1Q publishes."""

import hmac
from collections.abc import Callable

import pytest

from topodraw.standards import spanning_tree_timers as timers


# RFC 4188 defaults and ranges.
@pytest.mark.parametrize(
    ("timer", "default", "least", "most"),
    [(timers.MAX_AGE, 20, 6, 40), (timers.FORWARD_DELAY, 15, 4, 30), (timers.HELLO, 2, 1, 10)],
    ids=lambda value: value.name if isinstance(value, timers.Timer) else "",
)
def test_published_timers(timer: timers.Timer, default: int, least: int, most: int) -> None:
    assert (timer.default, timer.least, timer.most) == (default, least, most)


# IEEE 802.1D: 2 (forward delay - 1) >= max age >= 2 (hello + 1).
def test_the_defaults_agree_and_a_short_forward_delay_does_not() -> None:
    assert timers.timers_agree(timers.MAX_AGE.default, timers.FORWARD_DELAY.default, timers.HELLO.default)
    assert not timers.timers_agree(20, 10, 2)
    assert not timers.timers_agree(6, 15, 3)


# IEEE 802.1Q-2022 Table 13-2, three published digests: the key is right if it reproduces them.
@pytest.mark.parametrize(
    ("instance_of", "digest"),
    [
        (lambda vid: 0, "AC36177F50283CD4B83821D8AB26DE62"),
        (lambda vid: 1, "E13A80F11ED0856ACD4EE3476941C73B"),
        (lambda vid: vid % 32 + 1, "9D145C267DBE9FB5D893441BE3BA08CE"),
    ],
)
def test_the_digest_key_gives_the_published_digests(instance_of: Callable[[int], int], digest: str) -> None:
    table = [0, *(instance_of(vid) for vid in range(1, 4095)), 0]
    octets = b"".join(instance.to_bytes(2, "big") for instance in table)
    assert hmac.new(timers.MSTP_DIGEST_KEY.value, octets, "md5").hexdigest().upper() == digest


# IEEE 802.1D-2004 17.14 (RFC 4318 has 3 frames instead of 6), 802.1Q; the diameter of 7 bridges from memory.
def test_counts_and_other_timers() -> None:
    assert timers.TRANSMIT_HOLD_COUNT[1:4] == (6, 1, 10)
    assert timers.MIGRATE_TIME.default == 3
    assert timers.MAX_HOPS.default == 20
    assert timers.MAC_AGEING.default == 300
    assert timers.BRIDGE_DIAMETER.value == 7
