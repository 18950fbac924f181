"""Switch-off is not on the wire: times count from the last frame known live.
Failsafe comes after a run of losses, typically 0.5 to 1.5 s; flags before the
first link are neither proof nor fault (common practice)."""

import sheets
from bus import FAILSAFE, LOST, Bus
from sitting import MS, S, Sitting, near


def scenarios():
    return [entered_and_left(), single_flags(), before_link(), with_both_flags()]


def entered_and_left():
    s = Sitting("failsafe", ["Failsafe", "Missed"], sheets.PLAIN)
    s.up(20 * MS)
    bus = Bus(s)
    _, live = bus.send(150)
    missed, _ = bus.send(100, flags=LOST)
    first, _ = bus.send(200, flags=FAILSAFE)
    s.expect("from the last live frame to the first with the flag, believed with the second", "failsafe.entered",
             at=near(first + 7 * MS), from_=near(first), data={"before_link": False},
             within={"live_ns": near(live), "after_ns": near(101 * 7 * MS)})
    back, _ = bus.send(1)
    s.expect("from the first frame with the flag to the first without it, believed with the second", "failsafe.left",
             at=near(back + 7 * MS), from_=near(back), data={"before_link": False},
             within={"live_ns": near(back), "after_ns": near(1400 * MS)})
    s.expect("all that time nothing was heard", "air.missed", at=near(back), from_=near(missed), data={"frames": 300})
    _, live = bus.send(100)
    first, _ = bus.send(50, flags=FAILSAFE)
    s.expect("a second time, from the last live frame before it", "failsafe.entered", from_=near(first),
             within={"live_ns": near(live), "after_ns": near(7 * MS)})
    s.expect("the silence ends the run: the line stops in the middle of it", "air.missed", from_=near(first), data={"frames": 50})
    s.expect("some receivers stop sending", "bus.silent", from_=near(bus.end - 7 * MS))
    s.end(bus.end + 3 * S)
    return s


def single_flags():
    s = Sitting("failsafe-single-flags", ["Failsafe"], sheets.PLAIN)
    s.up(20 * MS)
    bus = Bus(s)
    bus.send(100)
    bus.send(1, flags=FAILSAFE)
    bus.send(3)
    bus.send(1, flags=FAILSAFE)
    bus.send(1)
    bus.send(1, flags=FAILSAFE)
    _, live = bus.send(50)
    first, _ = bus.send(30, flags=FAILSAFE)
    s.expect("one frame settles nothing: three flags that stand alone are no failsafe, thirty in a row are", "failsafe.entered",
             at=near(first + 7 * MS), from_=near(first), within={"live_ns": near(live)})
    bus.send(1)
    bus.send(20, flags=FAILSAFE)
    bus.send(1)
    bus.send(1, flags=FAILSAFE)
    bus.send(1)
    bus.send(20, flags=FAILSAFE)
    back, end = bus.send(100)
    s.expect("nor does one live frame end it", "failsafe.left", at=near(back + 7 * MS), from_=near(back),
             within={"after_ns": near(back - first)})
    for frames in (1, 1, 1, 30, 20, 1, 20):
        s.expect("flags that stand alone were still not heard", "air.missed", data={"frames": frames})
    s.end(end + 50 * MS)
    return s


def before_link():
    s = Sitting("failsafe-before-link", ["Failsafe"], sheets.PLAIN)
    s.up(20 * MS)
    bus = Bus(s)
    first, _ = bus.send(100, flags=FAILSAFE)
    s.expect("flags before the first link are neither proof nor fault, and no time counts from them", "failsafe.entered",
             from_=near(first), data={"before_link": True, "live_ns": -1, "after_ns": -1})
    back, live = bus.send(100)
    s.expect("the first link", "failsafe.left", from_=near(back), data={"before_link": True}, within={"live_ns": near(back)})
    first, _ = bus.send(100, flags=FAILSAFE)
    s.expect("after it failsafe is failsafe", "failsafe.entered", from_=near(first), data={"before_link": False},
             within={"live_ns": near(live), "after_ns": near(7 * MS)})
    back, end = bus.send(50)
    s.expect("and its end is an end", "failsafe.left", from_=near(back), data={"before_link": False})
    s.expect("what was flagged", "air.missed", data={"frames": 100})
    s.expect("what was flagged", "air.missed", data={"frames": 100})
    s.end(end + 50 * MS)
    return s


def with_both_flags():
    s = Sitting("failsafe-both-flags", ["Failsafe"], sheets.PLAIN)
    s.up(20 * MS)
    bus = Bus(s)
    _, live = bus.send(100)
    bus.send(80, flags=LOST)
    first, _ = bus.send(1, flags=LOST | FAILSAFE)
    bus.send(60, flags=LOST | FAILSAFE)
    back, end = bus.send(50)
    s.expect("a receiver that sets both flags is in failsafe", "failsafe.entered", from_=near(first),
             within={"live_ns": near(live), "after_ns": near(81 * 7 * MS)})
    s.expect("until both are gone", "failsafe.left", from_=near(back), within={"live_ns": near(back), "after_ns": near(back - first)})
    s.expect("one run", "air.missed", data={"frames": 141})
    s.end(end + 50 * MS)
    return s
