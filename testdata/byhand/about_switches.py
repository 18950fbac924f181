"""A three-position switch lands near -100 %, 0 and +100 % (common practice):
987.5, 1500 and 2011.875 us at the common scale. There is no checksum, and a wrong
value repeats for two frames or more: a position must stand before it is told."""

import sheets
from bus import CENTRE, HIGH, LOW, Bus
from sitting import MS, S, Sitting, after, near

STANDS = "a position is told once it has stood for a while; it was taken with its first frame"


def scenarios():
    return [switches(), debounce(), few_frames(), hysteresis(), trimmed(), jitter(), digital(), across_a_silence()]


def moved(s, first, name, to, was, rule=STANDS, **data):
    """The position was taken with the frame that ended at first."""
    s.expect(rule, "switch.moved", about="switch:" + name, at=after(first, 100 * MS, 300 * MS), from_=near(first),
             data={"to": to, "was": was, "suspect": False, **data})


def switches():
    s = Sitting("switches", ["Position"], sheets.SWITCHES)
    s.up(20 * MS)
    bus = Bus(s)
    bus.put(13, LOW), bus.put(15, LOW)
    first, _ = bus.send(70)
    moved(s, first, "inner", "middle", "", width_ns=1_500_000, off_ns=0, within=True, signal="live")
    moved(s, first, "outer", "back", "", width_ns=987_500, off_ns=-500, within=True)
    moved(s, first, "teach", "rest", "", width_ns=987_500, off_ns=-500, within=True)
    bus.put(11, HIGH)
    first, _ = bus.send(50)
    moved(s, first, "inner", "front", "middle", width_ns=2_011_875, off_ns=-125, within=True)
    bus.put(11, LOW)
    first, _ = bus.send(50)
    moved(s, first, "inner", "back", "front", width_ns=987_500, off_ns=-500, within=True)
    bus.put(13, HIGH)
    first, _ = bus.send(50)
    moved(s, first, "outer", "front", "back", width_ns=2_011_875, within=True)
    bus.put(15, HIGH)  # pressed for 280 ms
    first, _ = bus.send(40)
    moved(s, first, "teach", "pressed", "rest", width_ns=2_011_875, within=True)
    bus.put(15, LOW)
    first, _ = bus.send(40)
    moved(s, first, "teach", "rest", "pressed", width_ns=987_500, within=True)
    s.end(bus.end + 50 * MS)
    return s


def debounce():
    s = Sitting("switch-debounce", ["Position"], sheets.ONE_SWITCH)
    s.up(20 * MS)
    bus = Bus(s)
    bus.put(11, LOW)
    first, _ = bus.send(70)
    moved(s, first, "inner", "back", "")
    for wrong in (1, 2, 3):
        bus.put(11, HIGH)
        bus.send(wrong)  # a wrong value may repeat
        bus.put(11, LOW)
        bus.send(40)
    bus.put(11, CENTRE)
    bus.send(15)  # a lever passes its middle in 105 ms
    bus.put(11, HIGH)
    first, _ = bus.send(60)
    moved(s, first, "inner", "front", "back", rule="the middle was passed, not taken; wrong frames took nothing")
    for count in (CENTRE, HIGH) * 10:  # to and fro: never stands
        bus.put(11, count)
        bus.send(10)
    _, end = bus.send(100)
    s.end(end + 50 * MS)
    return s


def few_frames():
    s = Sitting("switch-few-frames", ["Position"], sheets.ONE_SWITCH)
    s.up(20 * MS)
    bus = Bus(s)
    bus.put(11, LOW)
    first, _ = bus.send(100)
    moved(s, first, "inner", "back", "")
    _, last = bus.send(1)
    bus.put(11, HIGH)
    bus.send(1)
    bus.skip(22)
    bus.send(2)
    bus.put(11, LOW)
    s.expect("161 ms without a frame", "bus.silent")
    s.expect("22 frames were not sent", "wire.gap", data={"frames": 22})
    _, end = bus.send(100)  # three wrong frames took nothing, however long they lay apart
    s.end(end + 50 * MS)
    return s


def hysteresis():
    s = Sitting("switch-hysteresis", ["Position"], sheets.ONE_SWITCH)
    s.up(20 * MS)
    bus = Bus(s)
    first, _ = bus.send(70)
    moved(s, first, "inner", "middle", "")
    off = "it stands off its place, and says so"
    bus.put(11, 1440)  # 1780 us: 24 us beyond the middle between 1500 and 2012
    first, _ = bus.send(120)
    s.expect(off, "switch.moved", about="switch:inner", from_=near(first),
             data={"to": "middle", "was": "middle", "width_ns": 1_780_000, "off_ns": 280_000, "within": False})
    bus.put(11, 1496)  # 1815 us: 59 us beyond it
    first, _ = bus.send(120)
    moved(s, first, "inner", "front", "middle", rule="a tenth of the way beyond the middle it changes sides",
          width_ns=1_815_000, off_ns=-197_000, within=False)
    bus.put(11, 1376)  # 1740 us: 16 us on the other side of the middle
    first, _ = bus.send(120)
    s.expect(off, "switch.moved", about="switch:inner", from_=near(first),
             data={"to": "front", "was": "front", "width_ns": 1_740_000, "off_ns": -272_000, "within": False})
    bus.put(11, 1304)  # 1695 us: 61 us
    first, end = bus.send(120)
    moved(s, first, "inner", "middle", "front", width_ns=1_695_000, off_ns=195_000, within=False)
    s.end(end + 50 * MS)
    return s


def trimmed():
    s = Sitting("switch-trimmed", ["Position"], sheets.ONE_SWITCH)
    s.up(20 * MS)
    bus = Bus(s)
    first, _ = bus.send(70)
    moved(s, first, "inner", "middle", "", width_ns=1_500_000)
    bus.put(11, 1001)  # 1505.625 us: less than half the tolerance
    bus.send(120)
    bus.put(11, 1022)
    bus.send(50)  # 1518.75 us, but for 350 ms only
    bus.put(11, 1008)
    first, _ = bus.send(120)
    trim = "a position that is trimmed and stands is told again"
    s.expect(trim, "switch.moved", about="switch:inner", at=after(first, 400 * MS, 700 * MS), from_=near(first),
             data={"to": "middle", "was": "middle", "width_ns": 1_510_000, "off_ns": 10_000, "within": True})
    bus.put(11, 973)
    first, end = bus.send(120)
    s.expect(trim, "switch.moved", about="switch:inner", at=after(first, 400 * MS, 700 * MS), from_=near(first),
             data={"to": "middle", "was": "middle", "width_ns": 1_488_125, "off_ns": -11_875, "within": True})
    bus.put(11, 972)
    bus.send(60)
    bus.put(11, 1012)
    first, end = bus.send(120)
    s.expect("outside 12 us of its place", "switch.moved", about="switch:inner", from_=near(first),
             data={"to": "middle", "was": "middle", "width_ns": 1_512_500, "off_ns": 12_500, "within": False})
    s.end(end + 50 * MS)
    return s


def jitter():
    s = Sitting("switch-jitter", ["Position"], sheets.ONE_SWITCH)
    s.up(20 * MS)
    bus = Bus(s)
    first, _ = bus.send(70)
    moved(s, first, "inner", "middle", "")
    bus.put(11, 1400)  # 1755 us; the middle to front is at 1756 us
    first, _ = bus.send(1)
    for n in range(200):
        bus.put(11, 1400 + 3 * (n % 2))
        bus.send(1)
    s.expect("a value that trembles about the middle between two positions stays where it was", "switch.moved", about="switch:inner",
             from_=near(first), data={"to": "middle", "was": "middle", "width_ns": 1_755_000})
    for n in range(200):  # 1806.875 and 1807.5 us; a tenth beyond the middle is at 1807.2 us: stands on neither side
        bus.put(11, 1483 + n % 2)
        bus.send(1)
    s.end(bus.end + 50 * MS)
    return s


def digital():
    s = Sitting("switch-digital", ["Position"], sheets.DIGITAL)
    s.up(20 * MS)
    bus = Bus(s)
    first, _ = bus.send(70)
    rule = "flag bits 0 and 1 are the digital channels 17 and 18; off is the narrower place"
    moved(s, first, "lights", "dark", "", rule, width_ns=988_000, off_ns=0, within=True)
    moved(s, first, "horn", "rest", "", rule, width_ns=988_000)
    first, _ = bus.send(50, flags=1 << 0)
    moved(s, first, "lights", "lit", "dark", rule, width_ns=2_012_000, off_ns=0)
    first, _ = bus.send(50, flags=1 << 1)
    moved(s, first, "lights", "dark", "lit", rule)
    moved(s, first, "horn", "pressed", "rest", rule, width_ns=2_012_000)
    s.end(bus.end + 50 * MS)
    return s


def across_a_silence():
    s = Sitting("switch-across-silence", ["Position", "Mode"], sheets.ONE_SWITCH + MODES)
    s.up(20 * MS)
    bus = Bus(s)
    first, _ = bus.send(100)
    moved(s, first, "inner", "middle", "")
    s.expect("it asks for what the middle is", "mode.asked", about="stabiliser", from_=near(first), data={"mode": "off"})
    bus.put(11, LOW)
    _, last = bus.send(4)
    s.expect("three seconds of nothing", "bus.silent", from_=near(last))
    bus.end = last + 3 * S
    bus.send(4)  # eight frames in three seconds, but nobody knows what it did in between
    bus.put(11, CENTRE)
    back, end = bus.send(60)
    # The four frames on each side passed through the other mode, which is dated; they settled nothing.
    s.expect("it was touched", "mode.asked", about="stabiliser", data={"mode": "damping", "passing": True})
    s.expect("and it stands again where it stood", "mode.asked", about="stabiliser", from_=near(back), data={"mode": "off", "was": "off", "passing": False})
    s.end(end + 50 * MS)
    return s


MODES = """\
stabiliser:
  windows: {from: guess}
  modes:
    damping: {when: [{inner: [800, 1300]}]}
    off:    {when: [{inner: [1300, 2200]}]}
"""
