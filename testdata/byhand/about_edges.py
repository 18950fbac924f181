"""A knob on the channel of the modes is stepped to where the receiver changes, from below and from above. Common
practice: windows are seldom published; the bus shows what is asked for, and only the surfaces show what is
done, so who looks types it. The hand here goes halfway into what is left by itself; a receiver may hold on to its mode,
so that it changes at one width upwards and at another one downwards."""

import sheets
from about_losses import Drill
from bus import LOW, Bus
from sitting import MS, S, Sitting

QUANTUM = 625  # ns a count
DOUBT = 1_000  # ns: so far beyond what was heard a knob that stands may have been for a frame
SHEET = sheets.HEAD + """\
channels:
  11: {name: inner, kind: switch, positions: {back: 1400, front: 1600}}
stabiliser:
  windows: {from: guess}
  measure: [edges]
  modes:
    plain:   {when: [{inner: [0, 1500]}], wanted_at: [{inner: back}], does: nothing}
    upright: {when: [{inner: [1500, 3000]}], wanted_at: [{inner: front}], does: stays}
"""
BACK, FRONT = 832, 1152  # counts of 1400 and 1600 us


def scenarios():
    return [
        found("edges-measured", 1500, 1500, "seen right"),
        found("edges-elsewhere", 1540, 1540, "seen wrong"),
        found("edges-hysteresis", 1512, 1488, None),
        found("edges-held-a-little", 1503, 1497, "seen right"),
        unsure(),
        not_there(),
        went_past(),
        turned_off(),
    ]


def width(count):
    return 880_000 + QUANTUM * count


class Knob:
    """The knob, the receiver behind it, and who types what the surfaces do."""

    def __init__(self, name, rises, falls, worked=False):
        self.s = Sitting(name, ["Mode"], SHEET)
        for kind in ("switch.moved", "mode.asked", "drill.answered", "drill.hint", "verdict.changed", "edge.measured"):
            self.s.leave(kind)
        self.s.up(20 * MS)
        self.bus = Bus(self.s, period=14 * MS)
        self.rises, self.falls, self.upright = rises * 1000, falls * 1000, False
        self.at = BACK
        self.bus.put(3, LOW)
        self.bus.put(11, self.at)
        self.bus.send(100)
        if worked:
            for count in FRONT, BACK:
                self.to(count)
                self.bus.send(60)
        self.drill = Drill(self.s, "edges")
        self.drill.begin(self.bus, asks=True)
        self.bus.send(80)
        self.drill.done(self.bus, "learning")
        self.to(FRONT)
        self.to(BACK)
        self.drill.done(self.bus, "inner/knob")

    def to(self, count):
        while self.at != count:
            self.at += max(-8, min(8, count - self.at))
            self.bus.put(11, self.at)
            self.bus.send(1)
            if width(self.at) >= self.rises:
                self.upright = True
            elif width(self.at) < self.falls:
                self.upright = False

    def look(self, way, key=None, stands=150):
        self.bus.send(stands)
        self.drill.done(self.bus, f"inner/plain/upright/{way}", words=key or ("b" if self.upright else "a"))
        self.bus.send(3)
        return self.upright

    def bisect(self, way, home, end, far):
        """Gives between which widths it lies; far is whether upright is the mode to which the way leads."""
        self.to(home)
        self.look(way)
        self.to(end)
        self.look(way)
        near, beyond = home, end
        back = True
        while abs(beyond - near) * QUANTUM > 10_000 - 2 * DOUBT:
            middle = (near + beyond) // 2
            if back:
                self.to(home)
            self.to(middle)
            if self.look(way) == far:
                beyond, back = middle, True
            else:
                near, back = middle, False
        least, most = sorted((width(near), width(beyond)))
        return least - DOUBT, most + DOUBT

    def off(self):
        self.to(FRONT)
        self.to(BACK)
        self.bus.send(80)
        self.drill.done(self.bus, "inner/off")
        self.bus.send(30)
        self.s.end(self.bus.end + 50 * MS)
        return self.s


def found(name, rises, falls, verdict):
    k = Knob(name, rises, falls)
    up = k.bisect("up", BACK, FRONT, True)
    down = k.bisect("down", FRONT, BACK, False)
    low, high = min(up[0], down[0]), max(up[1], down[1])
    agrees = high - low <= 20_000
    k.s.expect("the interval of each side, and both together", "edge.measured", about="channel:11", data={"agrees": agrees, "edge": "plain/upright"},
               within={"up.from_ns": [up[0]] * 2, "up.to_ns": [up[1]] * 2, "down.from_ns": [down[0]] * 2, "down.to_ns": [down[1]] * 2,
                       "from_ns": [low] * 2, "to_ns": [high] * 2})
    if verdict:
        k.s.expect("where both agree, the sheet's edge lies there or elsewhere", "verdict.changed", about="claim:edge/inner/plain/upright", data={"verdict": verdict})
    else:
        k.s.never("verdict.changed", about="claim:edge/inner/plain/upright")
    return k.off()


def unsure():
    k = Knob("edges-not-told", 1500, 1500)
    k.to(BACK)
    k.look("up")
    k.to(FRONT)
    k.look("up")
    for count in (992, 960, 1024, 1000):
        k.to(BACK)
        k.to(count)
        k.look("up", "?")
    k.s.expect("four looks that tell nothing end it", "edge.measured", about="channel:11", data={"agrees": False}, within={"up.unsure": [4, 4]})
    k.s.never("verdict.changed", about="claim:edge/inner/plain/upright")
    return k.off()


def not_there():
    k = Knob("edges-not-there", 1700, 1700)
    k.to(BACK)
    k.look("up")
    k.to(FRONT)
    k.look("up")
    k.s.expect("the sheet has another mode there: asked about", "drill.hint", about="drill:edges", data={"prompt": "edges/inner/plain/upright/up"})
    k.look("up")
    k.s.expect("the same key once more is an answer", "edge.measured", about="channel:11",
               data={"agrees": False}, within={"up.looks": [2, 2]})
    k.s.never("verdict.changed", about="claim:edge/inner/plain/upright")
    return k.off()


def went_past():
    """A receiver that holds on to its mode is still in the far one behind a knob that went past."""
    k = Knob("edges-went-past", 1520, 1480)
    k.to(BACK)
    k.look("up")
    k.to(FRONT)
    k.look("up")
    k.to(992)
    k.look("up")
    k.s.expect("it did not come from where the way starts", "drill.hint", about="drill:edges", data={"prompt": "edges/inner/plain/upright/up"})
    k.to(BACK)
    k.to(992)
    k.look("up", stands=40)
    k.s.expect("it was turned just now", "drill.hint", about="drill:edges", data={"prompt": "edges/inner/plain/upright/up"})
    k.s.never("edge.measured")
    k.drill.step(k.bus.end - 2 * MS, "abandon")
    k.bus.send(60)
    k.s.end(k.bus.end + 50 * MS)
    return k.s


def turned_off():
    """What the switch showed before is stale once the knob is off, and what the knob showed counts for nothing."""
    k = Knob("edges-knob-off", 1700, 1700, worked=True)
    k.to(BACK)
    k.look("up")
    k.to(FRONT)
    k.look("up")
    k.look("up")
    k.to(992)
    k.bus.send(100)
    for verdict, rule in ("seen right", "the switch was worked"), ("stale", "what the knob made stale has to be seen again"):
        for claim in "position/inner/front", "mode/upright/front", "margin/upright/front":
            k.s.expect(rule, "verdict.changed", about="claim:" + claim, data={"verdict": verdict})
    return k.off()
