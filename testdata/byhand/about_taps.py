"""A tap that vanishes is a state, dated and shown; what was under way ends there,
and old values never look live. Two receivers in a model are two taps."""

import sheets
from bus import FAILSAFE, HIGH, LOST, LOW, Bus, pack
from sitting import MS, S, Sitting, after, near, unread

COMES = "a tap that comes is told at once"
GOES = "a tap that goes is told at once"


def scenarios():
    return [tap_back(), under_way(), two_taps(), two_silences(), two_taps_hurt()]


def tap_back():
    s = Sitting("tap-back", ["SessionEvents", "Silence", "Damage"], sheets.ONE_SWITCH)
    s.up(20 * MS)
    s.expect(COMES, "tap.up", at=near(20 * MS), data={"port": "by-hand", "settings": "100000 8E2", "latency": "1 ms"})
    bus = Bus(s)
    bus.raw(pack(bus.counts)[11:])  # it begins in the middle of a frame
    first, last = bus.send(100)
    s.expect("locked", "bus.locked", from_=near(first), data={"silent_ns": 0})
    s.expect("where it stands", "switch.moved", about="switch:inner", from_=near(first), data={"to": "middle", "was": ""})
    bus.raw(pack(bus.counts)[:10])  # and ends in the middle of one
    gone = last + 9 * MS
    s.down(gone)
    s.expect(GOES, "tap.down", at=near(gone), data={"why": "unplugged"})
    s.up(gone + 3 * S)
    s.expect(COMES, "tap.up", at=near(gone + 3 * S))
    bus.end = gone + 3 * S + 40 * MS
    bus.put(11, HIGH)
    bus.raw(pack(bus.counts)[10:])  # the two ends make no frame together
    first, end = bus.send(100)
    s.expect("locked again; a tap that was gone is not a line that was silent", "bus.locked", at=after(first, 7 * MS, 49 * MS),
             from_=near(first), within={"silent_ns": near(first - last)})
    s.expect("the switch was moved in the meantime", "switch.moved", about="switch:inner", from_=near(first),
             data={"to": "front", "was": "middle"})
    s.end(end + 50 * MS)
    return s


def under_way():
    s = Sitting("tap-goes-meanwhile", ["Gap", "Missed", "Damage", "Position"], sheets.ONE_SWITCH)
    s.up(20 * MS)
    bus = Bus(s)
    bus.put(11, LOW)
    first, _ = bus.send(100)
    s.expect("where it stands", "switch.moved", about="switch:inner", from_=near(first), data={"to": "back", "was": ""})
    _, last = bus.send(1)
    bus.skip(2)
    bus.bad(marked=4)
    bus.put(11, HIGH)
    bus.send(2)
    missed, end = bus.send(2, flags=LOST)
    gone = end + 2 * MS
    s.down(gone, why="pulled out")
    what = "what was under way is told when the tap goes"
    s.expect(GOES, "tap.down", at=near(gone), data={"why": "pulled out"})
    s.expect(what, "wire.damaged", at=near(gone), data={"bad_frames": 1, "refused": {}})
    s.expect(what, "wire.gap", at=near(gone), from_=near(last), data={"frames": 2})
    s.expect(what, "air.missed", at=near(gone), from_=near(missed), data={"frames": 2})
    s.up(gone + 300 * MS)
    bus.end = gone + 400 * MS
    bus.send(5)  # front again, but it has not stood: who knows what was in between
    bus.put(11, LOW)
    _, end = bus.send(60)
    s.end(end + 50 * MS)
    return s


def two_taps():
    s = Sitting("two-taps", ["Silence", "Period", "Failsafe", "Jump", "Position"], sheets.TWO_TAPS, taps=("main", "second"))
    s.up(20 * MS, 1, "first-port"), s.up(21 * MS, 2, "second-port")
    main = Bus(s, tap=1, first=100 * MS, period=7 * MS)
    second = Bus(s, tap=2, first=103 * MS, period=14 * MS)
    second.put(11, LOW)
    (a, _), (b, last) = main.send(100), second.send(100)
    s.expect("each tap by itself", "bus.locked", from_=near(a))
    s.expect("each tap by itself", "bus.locked", about="tap:second", from_=near(b))
    s.expect("each at its own pace", "period.changed", data={"period_ns": 7 * MS})
    s.expect("each at its own pace", "period.changed", about="tap:second", data={"period_ns": 14 * MS})
    s.expect("two receivers of one switch", "switch.moved", about="switch:inner", from_=near(a), data={"tap": "main", "to": "middle"})
    s.expect("two receivers of one switch", "switch.moved", about="switch:inner", from_=near(b), data={"tap": "second", "to": "back"})
    for channel in (1, 2, 3, 4):
        second.put(channel, HIGH)
    lost, _ = second.send(1, flags=LOST)
    first, _ = second.send(99, flags=FAILSAFE)
    s.expect("failsafe of one receiver is not the other's", "failsafe.entered", about="tap:second", from_=near(first), within={"live_ns": near(last)})
    s.never("values.jumped")  # nor are its presets, which its flag tells
    main.send(100)
    main.put(11, HIGH)
    moved, _ = main.send(100)
    s.expect("the other tap stands under no suspicion", "switch.moved", about="switch:inner", from_=near(moved),
             data={"tap": "main", "to": "front", "signal": "live", "suspect": False})
    back, _ = second.send(60)
    s.expect("live again", "failsafe.left", about="tap:second", from_=near(back))
    s.expect("one run", "air.missed", about="tap:second", from_=near(lost), data={"frames": 100})
    while main.end < second.end:
        main.send(1)
    s.end(second.end + 20 * MS)
    return s


def two_silences():
    s = Sitting("two-silences", ["Silence", "Missed", "Damage"], sheets.TWO_TAPS, taps=("main", "second"))
    s.up(20 * MS, 1, "first-port"), s.up(21 * MS, 2, "second-port")
    main, second = Bus(s, tap=1), Bus(s, tap=2)
    for bus in (main, second):
        bus.send(100)
    # Both fall silent between two beats; later nothing but dates tells which was first.
    rule = "what fell due first is told first"
    for first, last in ((main, second), (second, main)):
        _, a = first.send(1)
        last.send(3)
        _, b = last.send(1)
        for bus, t in ((first, a), (last, b)):
            about = "tap:main" if bus is main else "tap:second"
            s.expect(rule, "bus.silent", about=about, at=unread(t + 100 * MS), from_=near(t))
        main.end = second.end = (b // S + 1) * S + 300 * MS
        for bus in (main, second):
            bus.send(20)
    for bus in (main, second):
        _, t = bus.send(1)
    s.expect("at the same time: in the order of the taps", "bus.silent", about="tap:main", at=unread(t + 100 * MS))
    s.expect("at the same time: in the order of the taps", "bus.silent", about="tap:second", at=unread(t + 100 * MS))
    s.leave("switch.moved")
    s.end(t + 3 * S)
    return s


def two_taps_hurt():
    s = Sitting("two-taps-hurt", ["Damage", "Gap", "Missed"], sheets.TWO_TAPS, taps=("main", "second"))
    s.up(20 * MS, 1, "first-port"), s.up(21 * MS, 2, "second-port")
    main, second = Bus(s, tap=1, first=100 * MS), Bus(s, tap=2, first=102 * MS)
    for bus in (main, second):
        bus.send(100)
    bad = second.bad(marked=9)
    s.expect("damage of one tap is not the other's", "wire.damaged", about="tap:second", from_=near(bad), data={"bad_frames": 1})
    _, last = main.send(1)
    main.skip(4)
    main.send(20)
    s.expect("nor is a gap", "wire.gap", from_=near(last), data={"frames": 4})
    first, _ = main.send(5, flags=LOST)
    second.send(20)
    gone = second.end
    while second.end < main.end - 7 * MS:
        _, gone = second.send(1)
    s.down(gone + 3 * MS, tap=2)
    s.expect(GOES, "tap.down", about="tap:second", at=near(gone + 3 * MS))
    _, last = main.send(5, flags=LOST)
    live, end = main.send(60)
    s.expect("one tap that goes ends nothing on the other", "air.missed", at=near(live), from_=near(first), data={"frames": 10},
             within={"span_ns": near(last - first)})
    s.leave("switch.moved")
    s.end(end + 50 * MS)
    return s
