"""Stabiliser modes are chosen by one channel (three windows) or by two (nine
cells, of which five are modes here). Flipping one switch at a time can pass
through a third, unintended cell (common practice). Windows are half-open: the
lower edge is inside, the upper one is not."""

import sheets
from bus import CENTRE, HIGH, LOST, LOW, Bus
from sitting import MS, S, Sitting, after, near

ASKED = "a cell that stands is asked for, from its first frame"


BACK = "it stands again where it stood: the touch before it is over, and part of no later change"


def scenarios():
    return [three_windows(), nine_cells(), edges(), passing(), passing_two_switches(), tap_goes(), stands_elsewhere(), touch_comes_back(), among_missed()]


def asked(s, first, mode, was, rule=ASKED, **data):
    s.expect(rule, "mode.asked", about="stabiliser", at=after(first, 100 * MS, 300 * MS), from_=near(first),
             data={"mode": mode, "was": was, "passing": False, "suspect": False, **data})


def passed(s, first, left, mode, was, frames, **data):
    s.expect("a cell that is left again was passed through: dated when left, with how long it was seen", "mode.asked",
             about="stabiliser", at=near(left), from_=near(first), data={"mode": mode, "was": was, "passing": True, **data},
             within={"dwell_ns": near((frames - 1) * 7 * MS)})


def three_windows():
    s = Sitting("mode-one-channel", ["Mode"], sheets.ONE_CHANNEL)
    s.up(20 * MS)
    bus = Bus(s)
    was = ""
    for count, width, mode in ((400, 1_130_000, "damping"), (CENTRE, 1_500_000, "plain"), (1500, 1_817_500, "upright"), (100, 942_500, "")):
        bus.put(11, count)
        first, _ = bus.send(70)
        asked(s, first, mode, was, widths_ns={"inner": width}, signal="live")
        was = mode
    for seen in (3, 4, 3):  # nothing, then passed through, then nothing
        bus.put(11, 400)
        first, _ = bus.send(seen)
        bus.put(11, 100)
        left, _ = bus.send(40)
        if seen == 4:
            passed(s, first, left, "damping", "", 4)
            asked(s, left, "", "", rule=BACK)
    s.end(bus.end + 50 * MS)
    return s


def nine_cells():
    s = Sitting("mode-two-channels", ["Mode"], sheets.TWO_CHANNELS)
    s.up(20 * MS)
    bus = Bus(s)
    walk = (
        (LOW, LOW, "off"), (CENTRE, LOW, "stabilised"), (HIGH, LOW, "upright"),
        (HIGH, CENTRE, ""), (CENTRE, CENTRE, ""), (LOW, CENTRE, ""), (LOW, HIGH, ""),
        (CENTRE, HIGH, "hold-course"), (HIGH, HIGH, "hover"),
    )
    widths = {LOW: 987_500, CENTRE: 1_500_000, HIGH: 2_011_875}
    was = ""
    for a, b, mode in walk:
        bus.put(11, a), bus.put(13, b)
        first, _ = bus.send(50)
        asked(s, first, mode, was, widths_ns={"inner": widths[a], "outer": widths[b]})
        was = mode
    s.end(bus.end + 50 * MS)
    return s


def edges():
    s = Sitting("mode-edges", ["Mode"], sheets.ONE_CHANNEL)
    s.up(20 * MS)
    bus = Bus(s)
    steps = (
        (671, "damping"),        # 1299.375 us
        (672, "plain"),  # 1300 us
        (1311, "plain"), # 1699.375 us
        (1312, "upright"),    # 1700 us
        (1791, "upright"),    # 1999.375 us
        (1792, ""),             # 2000 us
        (192, "damping"),        # 1000 us
        (191, ""),              # 999.375 us
    )
    was = ""
    for count, mode in steps:
        bus.put(11, count)
        first, _ = bus.send(50)
        asked(s, first, mode, was, rule="exactly on the lower edge is inside, exactly on the upper edge is outside")
        was = mode
    s.end(bus.end + 50 * MS)
    return s


def passing():
    s = Sitting("mode-passing", ["Mode"], sheets.ONE_CHANNEL)
    s.up(20 * MS)
    bus = Bus(s)

    def at(count, frames):
        bus.put(11, count)
        return bus.send(frames)[0]

    damping, plain, upright = 400, 992, 1500
    first = at(damping, 60)
    asked(s, first, "damping", "")
    through, first = at(plain, 10), at(upright, 60)
    passed(s, through, first, "plain", "damping", 10, widths_ns={"inner": 1_500_000}, signal="live")
    asked(s, first, "upright", "damping")
    at(plain, 3), at(upright, 60)  # three frames settle nothing
    through, back = at(plain, 4), at(upright, 10)
    passed(s, through, back, "plain", "upright", 4)
    again, left, first = at(plain, 5), at(damping, 5), at(plain, 60)
    passed(s, left, first, "damping", "upright", 5)
    asked(s, first, "plain", "upright", rule="a cell that was passed is told once, until another settles")
    through, first = at(upright, 4), at(damping, 60)
    passed(s, through, first, "upright", "plain", 4)
    asked(s, first, "damping", "plain")
    s.end(bus.end + 50 * MS)
    return s


def passing_two_switches():
    s = Sitting("mode-passing-two-switches", ["Mode"], sheets.TWO_CHANNELS)
    s.up(20 * MS)
    bus = Bus(s)

    def at(a, b, frames):
        bus.put(11, a), bus.put(13, b)
        return bus.send(frames)[0]

    first = at(LOW, LOW, 60)
    asked(s, first, "off", "")
    through, first = at(HIGH, LOW, 9), at(HIGH, HIGH, 60)
    passed(s, through, first, "upright", "off", 9)
    asked(s, first, "hover", "off", rule="flipped one after the other, the two switches asked for upright on the way")
    through, first = at(LOW, HIGH, 9), at(LOW, LOW, 60)
    passed(s, through, first, "", "hover", 9)
    asked(s, first, "off", "hover", rule="the other way round, for no mode at all")
    s.end(bus.end + 50 * MS)
    return s


def tap_goes():
    s = Sitting("mode-tap-goes", ["Mode"], sheets.ONE_CHANNEL)
    s.up(20 * MS)
    bus = Bus(s)
    bus.put(11, 400)
    first, _ = bus.send(60)
    asked(s, first, "damping", "")
    bus.put(11, 1500)
    _, last = bus.send(10)
    s.down(last + 2 * MS)
    s.expect("the tap goes", "tap.down")
    s.up(last + S)
    bus.end = last + S + 50 * MS
    first, _ = bus.send(4)
    bus.put(11, 400)
    left, end = bus.send(60)
    passed(s, first, left, "upright", "damping", 4)  # what was before the tap went is not added to it
    asked(s, left, "damping", "damping", rule=BACK)
    s.end(end + 50 * MS)
    return s


def stands_elsewhere():
    s = Sitting("mode-stands-elsewhere", ["Mode"], sheets.ONE_CHANNEL)
    s.up(20 * MS)
    bus = Bus(s)
    bus.put(11, 400)
    first, _ = bus.send(60)
    asked(s, first, "damping", "", widths_ns={"inner": 1_130_000})
    bus.put(11, 404)  # 2.5 us: a tremor, no other place
    bus.send(60)
    bus.put(11, 408)  # 5 us in all: less than half the tolerance
    bus.send(60)
    bus.put(11, 600)
    first, _ = bus.send(60)
    asked(s, first, "damping", "damping", rule="the same mode, asked for from elsewhere, is told anew", widths_ns={"inner": 1_255_000})
    for count in range(700, 980, 7):  # a knob that is turned stands nowhere; it enters the next window at 1300 us, 672 counts
        bus.put(11, count)
        bus.send(1)
    entered = first + 60 * 7 * MS
    bus.put(11, CENTRE)
    stood, end = bus.send(60)
    s.expect("a mode that is entered while turning is asked for from its first frame, once the knob stands", "mode.asked",
             about="stabiliser", at=after(stood, 100 * MS, 300 * MS), from_=near(entered),
             data={"mode": "plain", "was": "damping", "passing": False, "widths_ns": {"inner": 1_500_000}})
    s.end(end + 50 * MS)
    return s


def touch_comes_back():
    """A wrong value that repeats for four frames, and a change 20 s later."""
    s = Sitting("mode-touch-comes-back", ["Mode"], sheets.ONE_CHANNEL)
    s.up(20 * MS)
    bus = Bus(s)

    def at(count, frames):
        bus.put(11, count)
        return bus.send(frames)[0]

    first = at(400, 60)
    asked(s, first, "damping", "")
    for seen in (2, 3, 4):
        through = at(CENTRE, seen)
        back = at(400, 60)
        if seen == 4:
            passed(s, through, back, "plain", "damping", 4)
            asked(s, back, "damping", "damping", rule=BACK, widths_ns={"inner": 1_130_000})
    bus.send(20 * S // (7 * MS))
    first = at(1500, 60)
    asked(s, first, "upright", "damping")
    through, first = at(CENTRE, 4), at(400, 60)
    passed(s, through, first, "plain", "upright", 4)
    asked(s, first, "damping", "upright")
    s.end(bus.end + 50 * MS)
    return s


def among_missed():
    """The receiver repeats what it heard last while it misses the transmitter."""
    s = Sitting("mode-among-missed", ["Mode", "Position"], sheets.ONE_SWITCH + """\
stabiliser:
  windows: {from: guess}
  modes:
    damping:      {when: [{inner: [900, 1300]}]}
    plain:        {when: [{inner: [1300, 1700]}]}
    upright:      {when: [{inner: [1700, 2100]}]}
""")
    s.up(20 * MS)
    bus = Bus(s)
    s.leave("air.missed")
    live = "it stood for 150 ms while the receiver missed frames, and is told with the first live one"

    def place(told, first, to, was):
        s.expect(live if was else "it stands", "switch.moved", about="switch:inner", at=told, from_=near(first), data={"to": to, "was": was, "signal": "live"})

    first, _ = bus.send(60)
    asked(s, first, "plain", "")
    place(after(first, 100 * MS, 300 * MS), first, "middle", "")
    bus.put(11, HIGH)
    first, _ = bus.send(18)
    bus.send(9, flags=LOST)
    heard, _ = bus.send(60)
    s.expect(live, "mode.asked", about="stabiliser", at=near(heard), from_=near(first),
             data={"mode": "upright", "was": "plain", "passing": False, "signal": "live"})
    place(near(heard), first, "front", "middle")
    bus.put(11, CENTRE)  # one live frame of the middle, repeated: nobody saw four of it
    bus.send(1)
    bus.send(9, flags=LOST)
    bus.put(11, LOW)
    first, end = bus.send(60)
    asked(s, first, "damping", "upright", rule="what missed frames repeat was not passed")
    place(after(first, 100 * MS, 300 * MS), first, "back", "front")
    s.end(end + 50 * MS)
    return s
