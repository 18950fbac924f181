"""A phone that lies on the model, its screen up and its top edge to the nose, and says how.

Axes are those of W3C's Device Orientation text (from memory): x to the right of the screen, y to
its top, z out of it, turns right-handed. So a tail that is raised turns it about x by less than nothing,
a left wing that is raised about y by more, and a nose that goes to the left about z by more. Sentences are
framed like those of NMEA 0183: $PBTA,sender,number,time in us,w,x,y,z in parts of 32768,three rates in
hundredths of a degree a second. $PBTI,sender,name,turn of the screen,R or H. Sender, number and time are
hexadecimal. It sends what it measured 60 times a second all 250 ms, and that takes 20 ms and more."""

import math

import sheets
from leads import line
from sitting import MS, S, Sitting, after, near

PERIOD = 16_667_000  # ns
SCALE = 32768

SHEET = sheets.HEAD + """\
taps: {main: {kind: bus, carries: heard}, phone: {kind: tilt}}
channels:
  1: {name: aileron, kind: stick, ends: {left: 988, right: 2012}, neutral: 1500}
"""

X, Y, Z = (1, 0, 0), (0, 1, 0), (0, 0, 1)


def scenarios():
    return [
        held(), silent(), asleep(), slow(), slow_not(), no_gyroscope(), turned_screen(), clock(), second(), jumped(), yaw(), too_small(),
        quick(), too_fast(), two_axes(),
        laid("phone-laid", 0, X, -30, True), laid("phone-laid-askew", 20, X, -30, True), laid("phone-laid-round", 180, X, -30, False),
        laid("phone-laid-across", 90, X, -30, False), laid("phone-laid-nose-for-tail", 0, X, 30, False), laid("phone-laid-idle", 0, X, 0, False),
    ]


def times(a, b):
    return (a[0] * b[0] - a[1] * b[1] - a[2] * b[2] - a[3] * b[3], a[0] * b[1] + a[1] * b[0] + a[2] * b[3] - a[3] * b[2],
            a[0] * b[2] - a[1] * b[3] + a[2] * b[0] + a[3] * b[1], a[0] * b[3] + a[1] * b[2] - a[2] * b[1] + a[3] * b[0])


def turn(axis, degrees):
    half = math.radians(degrees) / 2
    return (math.cos(half),) + tuple(c * math.sin(half) for c in axis)


class Phone:
    """turns are (when it begins, about which axis of the model, by how many degrees, in what time)."""

    def __init__(self, sitting, tap=2, sender=0x5C1, now=100 * MS, askew=0, gyro=True, rate=1.0, period=PERIOD):
        self.sitting, self.tap, self.sender, self.now, self.gyro, self.rate, self.period = sitting, tap, sender, now, gyro, rate, period
        self.lying, self.turns, self.number, self.posts, self.batch, self.before = turn(Z, askew), [], 0xFFF0, now + 250 * MS, b"", None
        self.zero, self.clock, self.last = now, 0xFFF00000, None

    def lies(self, at):
        model = (1.0, 0.0, 0.0, 0.0)
        for begins, axis, degrees, takes in self.turns:
            part = min(max((at - begins) / takes, 0), 1)
            model = times(model, turn(axis, degrees * (1 - math.cos(math.pi * part)) / 2))
        return times(model, self.lying)

    def speaks(self, screen=0, state="R"):
        self.batch += line("PBTI,%X,phone,%d,%s" % (self.sender, screen, state))

    def run(self, until):
        while self.now < until:
            q = self.lies(self.now)
            rates = ",,"
            if self.gyro:
                by = times((q[0], -q[1], -q[2], -q[3]), self.before or q)
                rates = ",".join(str(round(-2 * math.degrees(v) * 100 * S / self.period)) for v in by[1:])
            self.before = q
            time = (self.clock + round((self.now - self.zero) * self.rate) // 1000) % 2**32
            self.batch += line("PBTA,%X,%X,%X,%s,%s" % (self.sender, self.number, time, ",".join(str(round(v * SCALE)) for v in q), rates))
            self.number = (self.number + 1) % 2**16
            self.last = self.now
            if self.now >= self.posts:
                self.post()
            self.now += self.period

    def post(self):
        """What waits goes at once; how long that takes is never the same, and never less than 20 ms."""
        late = 20 * MS + (self.number * 7919) % 60 * MS
        self.sent = (self.now + late) // 1000 * 1000
        self.sitting.add(self.sent, self.tap, "bytes", self.batch)
        self.batch, self.posts = b"", self.now + 250 * MS


def start(name, subject, **how):
    s = Sitting(name, [subject], SHEET, taps=("main", "phone"), phones=("phone",))
    s.up(50 * MS, tap=2, port="a phone's page", settings="")
    s.leave("verdict.changed")
    phone = Phone(s, **how)
    if phone.period < S:
        phone.speaks()
    for kind in ("tilt.heard", "tilt.silent", "tilt.trouble", "tilt.held", "tilt.laid"):
        s.left.add(kind)
    return s, phone


def wants(s, rule, kind, **more):
    s.left.discard(kind)
    s.expect(rule, kind, about="tap:phone", **more)


def absent(s, *kinds):
    for kind in kinds:
        s.left.discard(kind)
        s.never(kind)


def held():
    """Level, tail raised by 30 degrees, and level again."""
    s, phone = start("phone-held", "Rests")
    phone.turns = [(3 * S, X, -30, 500 * MS), (6 * S, X, 30, 500 * MS)]
    phone.run(9 * S)
    wants(s, "a phone is heard with its first sentences", "tilt.heard", within={"silent_ns": [0, 0]}, data={"gyroscope": True})
    near30 = [2970, 3030]
    wants(s, "a tail that was raised is nose down", "tilt.held", data={"axis": "pitch", "gyroscope": True},
          within={"angle_cdeg": near30, "pitch_cdeg": [-3030, -2970], "roll_cdeg": [-30, 30], "yaw_cdeg": [-150, 150]}, from_=after(3400 * MS, 0, 300 * MS))
    wants(s, "and put back", "tilt.held", data={"axis": "pitch"}, within={"angle_cdeg": near30, "pitch_cdeg": near30}, from_=after(6400 * MS, 0, 300 * MS))
    absent(s, "tilt.silent", "tilt.trouble", "tilt.laid")
    s.end(9500 * MS)
    return s


def yaw():
    """The nose jerked to the left: nothing but the rate of turn shows it."""
    s, phone = start("phone-yaw", "Rests")
    phone.turns = [(3 * S, Z, 30, 300 * MS)]
    phone.run(6 * S)
    wants(s, "a nose that goes to the left is a yaw to the left", "tilt.held", data={"axis": "yaw"},
          within={"yaw_cdeg": [-3250, -2750], "angle_cdeg": [0, 50]})
    s.end(6500 * MS)
    return s


def too_small():
    s, phone = start("phone-too-small", "Rests")
    phone.turns = [(3 * S, X, -8, 500 * MS)]
    phone.run(6 * S)
    wants(s, "a turn of less than ten degrees says so, and nothing follows from it", "tilt.held", data={"why": "too-small"},
          within={"angle_cdeg": [770, 830]})
    s.end(6500 * MS)
    return s


def quick():
    """Two hundred times a second are as good as sixty."""
    s, phone = start("phone-quick", "Phone", period=S // 200)
    phone.turns = [(3 * S, X, -30, 500 * MS)]
    phone.run(6 * S)
    absent(s, "tilt.trouble")
    wants(s, "a tail that was raised is seen by a quick phone, too", "tilt.held", data={"axis": "pitch", "why": ""}, within={"pitch_cdeg": [-3030, -2970]})
    s.end(6500 * MS)
    return s


def too_fast():
    """A slap: 30 degrees in a twelfth of a second, 565 degrees a second at most, is no leap of the phone and no tilt."""
    s, phone = start("phone-too-fast", "Rests")
    phone.turns = [(3 * S, X, -30, S // 12)]
    phone.run(6 * S)
    wants(s, "what is faster than a phone can follow says so, and nothing follows from it", "tilt.held", data={"why": "too-fast"},
          within={"angle_cdeg": [2970, 3030], "fastest": [501, 599]})
    absent(s, "tilt.trouble")
    s.end(6500 * MS)
    return s


def two_axes():
    """Tail and left wing raised in one."""
    s, phone = start("phone-two-axes", "Rests")
    phone.turns = [(3 * S, (-math.sqrt(0.5), math.sqrt(0.5), 0), 30, 500 * MS)]
    phone.run(6 * S)
    wants(s, "a turn about two axes at once says so, and nothing follows from it", "tilt.held", data={"why": "two-axes"},
          within={"angle_cdeg": [2970, 3030], "pitch_cdeg": [-2160, -2080], "roll_cdeg": [2080, 2160]})
    absent(s, "tilt.trouble")
    s.end(6500 * MS)
    return s


def silent():
    """It is lost for longer than the two seconds that are a silence, and comes back."""
    s, phone = start("phone-silent", "Phone")
    phone.run(3 * S)
    phone.post()
    last = phone.sent
    phone.now = phone.posts = 8 * S
    phone.run(9 * S)
    wants(s, "it is heard", "tilt.heard")
    wants(s, "no sentence for two seconds", "tilt.silent", from_=near(last), data={"limit_ns": 2 * S, "asleep": False})
    wants(s, "and heard again", "tilt.heard", within={"silent_ns": [4900 * MS, 5300 * MS]})
    absent(s, "tilt.trouble")
    s.end(9500 * MS)
    return s


def asleep():
    """Its page says that it is hidden, and nothing more comes."""
    s, phone = start("phone-asleep", "Phone")
    phone.run(3 * S)
    phone.speaks(state="H")
    phone.post()
    wants(s, "a page that said so is asleep", "tilt.silent", data={"asleep": True})
    s.end(8 * S)
    return s


def slow():
    """Once a second."""
    s, phone = start("phone-slow", "Phone", period=S)
    phone.turns = [(6 * S, X, -30, 500 * MS)]
    phone.run(12 * S)
    wants(s, "ten attitudes a second are the least", "tilt.trouble", data={"why": "slow", "over": False})
    absent(s, "tilt.held")
    s.end(13 * S)
    return s


def slow_not():
    """Twelve times a second is enough."""
    s, phone = start("phone-slow-not", "Phone", period=S // 12)
    phone.turns = [(4 * S, Y, 30, 500 * MS)]
    phone.run(8 * S)
    absent(s, "tilt.trouble")
    wants(s, "a left wing that is raised is a roll to the right", "tilt.held", data={"axis": "roll"}, within={"roll_cdeg": [2960, 3040]})
    s.end(9 * S)
    return s


def no_gyroscope():
    s, phone = start("phone-no-gyroscope", "Phone", gyro=False)
    phone.turns = [(3 * S, Z, 30, 300 * MS), (5500 * MS, X, -30, 500 * MS)]
    phone.run(8500 * MS)
    wants(s, "without a gyroscope that is said", "tilt.trouble", data={"why": "no-gyroscope"})
    wants(s, "pitch is seen, yaw is not", "tilt.held", data={"axis": "pitch", "gyroscope": False}, within={"yaw_cdeg": [0, 0]})
    s.end(9 * S)
    return s


def turned_screen():
    s, phone = start("phone-turned-screen", "Phone")
    phone.run(2 * S)
    phone.speaks(screen=90)
    phone.run(4 * S)
    phone.speaks()
    phone.run(5 * S)
    wants(s, "the edge that is on top is not the phone's own", "tilt.trouble", data={"why": "turned-screen", "over": False}, within={"figure": [90, 90]})
    wants(s, "and is again", "tilt.trouble", data={"why": "turned-screen", "over": True})
    s.end(6 * S)
    return s


def clock():
    """Its clock goes three hundredths too fast: that is no quartz."""
    s, phone = start("phone-clock", "Phone", rate=1.03)
    phone.run(13 * S)
    wants(s, "a clock that is off by more than two hundredths is none", "tilt.trouble", data={"why": "clock"}, within={"figure": [24_000, 36_000]})
    s.end(14 * S)
    return s


def second():
    """Another phone sends for the same tap: the first is heard."""
    s, phone = start("phone-second", "Phone")
    phone.run(2 * S)
    other = Phone(s, sender=0x777, now=2 * S)
    while phone.now < 4 * S:
        phone.run(phone.now + 250 * MS)
        other.run(phone.now)
    phone.run(8 * S)
    wants(s, "two phones lie in two ways", "tilt.trouble", data={"why": "second-phone", "over": False})
    wants(s, "and one again", "tilt.trouble", data={"why": "second-phone", "over": True})
    absent(s, "tilt.silent", "tilt.held")
    s.end(9 * S)
    return s


def jumped():
    """It falls off: no hand turns a model so fast."""
    s, phone = start("phone-jumped", "Rests")
    phone.turns = [(3 * S, X, 150, 150 * MS)]
    phone.run(6 * S)
    wants(s, "a thousand degrees a second are a leap", "tilt.trouble", data={"why": "jumped"})
    wants(s, "of which nothing follows", "tilt.held", data={"why": "jumped"})
    s.end(7 * S)
    return s


def laid(name, askew, axis, tail, agrees):
    """The drill that shows how it lies: tail, left wing and nose raised; its prompts go by the beats, since no
    frame comes, and stand for 6, 5, 4, 3, 5, 4, 3, 5 and 4 seconds."""
    s, phone = start(name, "Laying", askew=askew)
    s.drill(4100 * MS, {"drill": "laying", "do": "begin"})
    s.drill(4200 * MS, {"drill": "laying", "do": "confirm"})
    s.drill(4500 * MS, {"drill": "laying", "do": "done"})
    for begins, about, by in ((11_400 * MS, axis, tail), (23_400 * MS, Y, 30 if tail else 0), (35_400 * MS, X, -tail)):
        phone.turns += [(begins, about, by, 500 * MS), (begins + 5 * S, about, -by, 500 * MS)]
    phone.run(46 * S)
    if agrees:
        wants(s, "what all three tilts show agrees with the sheet", "tilt.laid", data={"agrees": True, "why": ""}, at=after(40 * S, 0, 500 * MS))
        s.left.discard("verdict.changed")
        s.expect("and is seen right", "verdict.changed", about="claim:laying/phone", data={"verdict": "seen right"})
    else:
        wants(s, "what disagrees is asked about, and nothing is fitted to it", "tilt.laid", data={"agrees": False}, at=after(40 * S, 0, 500 * MS))
        absent(s, "verdict.changed")
    absent(s, "tilt.trouble")
    s.end(47 * S)
    return s
