"""Another model memory is selected in the transmitter: nothing may move (common practice). A receiver that tells
memories apart hears nothing then. What shows on the wire that memories changed is a link that goes, or channels that
leap; a hand that only says so and goes on with this model's memory accuses nobody."""

import sheets
from about_losses import Drill, start
from bus import FAILSAFE, HIGH, LOST, LOW
from sitting import MS, S, near

SHEET = sheets.LOSSES.replace("within: 1.5s,", "within: 1.5s, other_memory: refused,")
MIDDLE = 992
GONE = LOST | FAILSAFE
KINDS = ("drill.answered", "switch.moved", "mode.asked", "loss.measured", "failsafe.entered", "failsafe.settled", "failsafe.left", "link.lost",
         "link.restored", "air.missed", "values.jumped", "travel.clipped")


def scenarios():
    return [
        refused("memory-refused", 0, "seen right"),
        refused("memory-drifts", 60, ""),
        followed("memory-followed", 86, 86, 600, "seen wrong"),
        followed("memory-leaps", 0, 0, 600, "seen wrong", leap=True),
        followed("memory-not-selected", 0, 0, 600, ""),
        followed("memory-left-too-soon", 86, 0, 600, ""),
        followed("memory-nobody-moves", 86, 86, 0, ""),
        in_the_middle("memory-in-the-middle"),
        in_the_middle("memory-leaps-in-the-middle", leap=True),
        unnamed(),
    ]


def begin(name):
    s, bus = start(name, ["OtherMemory"], sheet=SHEET)
    for kind in KINDS:
        s.leave(kind)
    bus.put(3, LOW)
    bus.send(300)
    drill = Drill(s, "other-memory")
    drill.begin(bus)
    bus.send(100)
    drill.done(bus, "home")
    return s, bus, drill


def stir(bus, far, frames, flags=0):
    """The aileron goes to both sides and back, and stands."""
    for k in range(60):
        bus.put(1, MIDDLE + far * (0, 1, 0, -1)[k // 15])
        bus.send(1, flags=flags)
    bus.put(1, MIDDLE)
    bus.send(frames - 60, flags=flags)


def ends(s, bus, drill):
    """This model's memory again, and its aileron held to the left."""
    bus.send(200)
    for k in range(31):
        bus.put(1, MIDDLE - (MIDDLE - LOW) * k // 30)
        bus.send(1)
    bus.send(150)
    s.end(bus.end + 50 * MS)
    return s


def refused(name, drift, verdict):
    """The link goes with the selection and is back with the other; presets stand meanwhile, or drift by counts."""
    s, bus, drill = begin(name)
    bus.send(100)
    bus.send(300, flags=GONE)
    drill.done(bus, "select", words="glider")
    bus.send(1150, flags=GONE)
    if drift:
        bus.put(1, MIDDLE + drift)
    bus.send(1100, flags=GONE)
    if drift:
        bus.put(1, MIDDLE)
    bus.send(1100, flags=GONE)
    drill.done(bus, "own")
    bus.send(100, flags=GONE)
    s.expect("flagged frames alone, and where channels stood", "memory.tried", data={"left": True, "returned": True, "changed": False, "live": 0},
             within={"frames": [2100, 2160], "channels.0.most_ns": near(1_500_000 + drift * 625)})
    if verdict:
        s.expect("nothing was heard, and nothing moved", "verdict.changed", about="claim:memory/other", data={"verdict": verdict},
                 within={"figures.far_ns": [0, 0]})
    else:
        s.never("verdict.changed", about="claim:memory/other")
    s.leave("verdict.changed")
    return ends(s, bus, drill)


def followed(name, gone, back, far, verdict, leap=False):
    """Live frames while sticks go far: the link was gone for some frames at either selection, or channels leapt, or neither."""
    s, bus, drill = begin(name)
    bus.send(100)
    bus.send(gone, flags=LOST) if gone else None
    if leap:
        for channel in 2, 5, 6, 7:
            bus.put(channel, HIGH - 300)
    bus.send(200)
    drill.done(bus, "select", words="glider")
    bus.send(1160)
    stir(bus, far, 2150)
    drill.done(bus, "own")
    bus.send(20)
    bus.send(back, flags=LOST) if back else None
    if leap:
        for channel in 2, 5, 6, 7:
            bus.put(channel, MIDDLE)
    s.expect("live frames, and how far they went", "memory.tried",
             data={"left": bool(gone) or leap, "returned": bool(back) or leap, "changed": False},
             within={"live": [2100, 2160], "channels.0.most_ns": near(1_500_000 + far * 625), "channels.0.least_ns": near(1_500_000 - far * 625)})
    if verdict:
        s.expect("it followed, and memories were changed both ways", "verdict.changed", about="claim:memory/other", data={"verdict": verdict},
                 within={"figures.far_ns": near(1200 * 625)})
    else:
        s.never("verdict.changed", about="claim:memory/other")
    s.leave("verdict.changed")
    return ends(s, bus, drill)


def in_the_middle(name, leap=False):
    """This model's memory is selected again while its sticks are tried, and once more when that is asked for: at first presets stand,
    flagged or not, then sticks go far."""
    presets = (lambda value: [bus.put(channel, value) for channel in (2, 5, 6, 7)]) if leap else lambda value: None
    flags = 0 if leap else GONE
    s, bus, drill = begin(name)
    bus.send(100)
    presets(HIGH - 300)
    bus.send(200, flags=flags)
    drill.done(bus, "select", words="glider")
    bus.send(1160 + 300, flags=flags)
    presets(MIDDLE)
    stir(bus, 600, 1850)
    drill.done(bus, "own")
    bus.send(20)
    if not leap:
        bus.send(86, flags=LOST)
    presets(HIGH - 300)
    bus.send(50)
    presets(MIDDLE)
    s.expect("a transmitter was heard, or channels leapt, in the middle", "memory.tried", data={"left": True, "returned": True, "changed": True},
             within={"channels.0.most_ns": near(1_500_000 + 600 * 625)})
    s.never("verdict.changed", about="claim:memory/other")
    s.leave("verdict.changed")
    return ends(s, bus, drill)


def unnamed():
    """An Enter without a name, twice: it goes on, and proves nothing."""
    s, bus, drill = begin("memory-unnamed")
    bus.send(100)
    bus.send(300, flags=GONE)
    drill.done(bus, "select")
    bus.send(100, flags=GONE)
    drill.done(bus, "select")
    bus.send(3350, flags=GONE)
    drill.done(bus, "own")
    bus.send(100, flags=GONE)
    s.expect("what was seen", "memory.tried", data={"left": True, "returned": True, "live": 0})
    s.never("verdict.changed", about="claim:memory/other")
    s.leave("verdict.changed")
    return ends(s, bus, drill)
