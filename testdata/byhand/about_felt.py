"""A model that is propped up with a phone on it: nobody types an angle. What the phone feels is the
angle, and shows that there was a tilt: a stabiliser that answers nothing is dead then. A nose
that is raised for a tail, or nothing at all, is asked about, and nothing follows from it."""

from about_degrees import AROUND, LAID, SHEET as TYPED, WITH_OFF, Propped, asked, stick_over
from about_losses import Drill
from about_outputs import both
from about_phone import X, Y, Z, Phone
from bus import HIGH, LOW, Bus
from leads import Leads
from sitting import MS, S, Sitting

SHEET = TYPED.replace("leads: {kind: pulses}}", "leads: {kind: pulses}, phone: {kind: tilt}}")


def scenarios():
    return [
        felt("felt-upright", 3000, 1, "seen right"), felt("felt-dead", 0, 1, "seen wrong"),
        felt("felt-nose-for-tail", 3000, -1, None), felt("felt-idle", 0, 0, None),
        level("felt-level-turned", 180, None), level("felt-level-quarter", 90, "it was not turned half round"),
    ]


class Bench:
    def __init__(self, name, answer, sheet=SHEET, switch=LOW):
        self.s = s = Sitting(name, ["Rests"], sheet, taps=("main", "leads", "phone"), leads=("leads",), phones=("phone",))
        for tap, port in ((1, "by-hand"), (2, "board"), (3, "a phone's page")):
            s.up(20 * MS, tap=tap, port=port)
        for kind in ("output.jitter", "output.follows", "output.paced", "output.back", "switch.moved", "mode.asked", "verdict.changed",
                     "drill.answered", "drill.hint", "model.rested", "answer.fitted", "tilt.heard", "tilt.held", "tilt.laid"):
            s.leave(kind)
        self.model, self.bus, self.leads = Propped(lambda angle: answer * angle), Bus(s, period=20 * MS), Leads(s, latency=0)
        self.phone = Phone(s, tap=3, period=S // 25)
        self.phone.speaks()
        self.bus.put(3, LOW)
        self.bus.put(11, switch)
        self.leads.output(2, self.model.width)

    def run(self, span):
        both(self.bus, self.leads, self.bus.end + span)
        self.phone.run(self.bus.end)

    def turn(self, axis, by):
        """Hands turn the model, and the phone on it, in 0.4 s. A tail that is raised turns it about X by less than nothing."""
        self.phone.turns.append((self.bus.end + 20 * MS, axis, by, 400 * MS))

    def prop(self, angle, way):
        self.turn(X, -(way * angle - self.model.angle))
        self.model.angle = way * angle


def laying(b):
    """Tail, left wing and nose raised: how the phone lies is shown."""
    drill = Drill(b.s, "laying")
    drill.begin(b.bus)
    b.run(1500 * MS)
    drill.done(b.bus, "put")
    b.run(6 * S)
    for axis, by in ((X, -30), (Y, 30), (X, 30)):
        b.run(400 * MS)
        b.turn(axis, by)
        b.run(4400 * MS)
        b.turn(axis, -by)
        b.run(6200 * MS)


def felt(name, answer, way, verdict):
    """way is 1 where the model is tilted as told, -1 the other way, 0 not at all."""
    b = Bench(name, answer)
    b.run(2 * S)
    laying(b)
    drill = Drill(b.s, "degrees")
    drill.step(b.bus.end - 2 * MS, "begin")
    b.run(1 * S)
    drill.step(b.bus.end - 2 * MS, "confirm")
    b.run(300 * MS)
    stick_over(b.bus, b.leads, b.model)
    b.run(800 * MS)
    for side, angles in zip(("there", "other"), AROUND):
        b.prop(0, way)
        b.run(LAID + 100 * MS)
        for n, angle in enumerate(angles, 1):
            b.prop(angle, way)
            b.run(2400 * MS)
            drill.done(b.bus, f"upright/pitch/{side}/{n}")
            b.run(50 * MS)
    b.prop(0, way)
    b.run(LAID + 300 * MS)
    expects(b.s, answer, way, verdict)
    b.s.end(b.leads.now + 50 * MS)
    return b.s


def level(name, round, why):
    """The phone is turned round on its spot, and back, before the level is measured, which lies a degree off; what nobody felt of its own
    bias stays in the doubt."""
    b = Bench(name, 0, WITH_OFF.replace("leads: {kind: pulses}}", "leads: {kind: pulses}, phone: {kind: tilt}}"), HIGH)
    for kind in ("entry.measured", "level.measured"):
        b.s.leave(kind)
    b.model.answer, b.model.off = (lambda angle: 3000 * (angle - 1)), True
    b.run(2 * S)
    laying(b)
    drill = Drill(b.s, "degrees")
    drill.step(b.bus.end - 2 * MS, "begin")
    b.run(1 * S)
    drill.step(b.bus.end - 2 * MS, "confirm")
    b.run(300 * MS)
    stick_over(b.bus, b.leads, b.model)
    b.run(800 * MS + 2 * LAID + 300 * MS)
    for prompt, by in (("round", round), ("back", -round)):
        b.phone.turns.append((b.bus.end + 20 * MS, Z, by, 1500 * MS))
        b.run(4 * S)
        drill.done(b.bus, "phone/" + prompt)
        b.run(50 * MS)
    b.model.off = False
    b.bus.put(11, LOW)
    b.run(900 * MS)
    for side, angles in zip(("there", "other"), AROUND):
        b.prop(0, 1)
        b.run(LAID + 100 * MS)
        for n, angle in enumerate(angles, 1):
            b.prop(angle, 1)
            b.run(2400 * MS)
            drill.done(b.bus, f"upright/pitch/{side}/{n}")
            b.run(50 * MS)
    b.prop(0, 1)
    b.run(LAID + 300 * MS)
    s = b.s
    s.left -= {"level.measured", "tilt.laid"}
    s.expect("the phone lies as the sheet says", "tilt.laid", about="tap:phone", data={"agrees": True})
    data, within = {"axis": "pitch", "by": "felt"}, {"level_mdeg": [900, 1100]}
    if why:
        s.expect("a quarter is no half", "tilt.turned", about="tap:phone", data={"why": why})
        within["within_mdeg"] = [600, 800]
    else:
        s.expect("half round and back: its own bias is what it felt both times alike, here none", "tilt.turned", about="tap:phone",
                 within={"bias_cdeg": [0, 5], "doubt_cdeg": [10, 20], "turned_cdeg": [17700, 18300]})
        within["within_mdeg"], within["bias_within_mdeg"] = [100, 350], [100, 200]
    s.expect("and what is left of it is in the doubt", "level.measured", about="stabiliser", data=data, within=within)
    s.end(b.leads.now + 50 * MS)
    return s


def expects(s, answer, way, verdict):
    asked(s, "upright")
    s.left -= {"answer.fitted", "tilt.laid"}
    s.expect("the phone lies as the sheet says", "tilt.laid", about="tap:phone", data={"agrees": True})
    data = {"mode": "upright", "axis": "pitch"}
    if way == 1:
        s.expect("what the phone felt gives the figures that were put in, within what half a degree is of the angles", "answer.fitted", about="output:2",
                 data={**data, "rests": 9, "by": "felt"}, within={"per_degree_ns": [answer - 60, answer + 60], "dead_mdeg": [0, 0]})
        s.left.discard("verdict.changed")
        s.expect("and settles the claim: who felt the tilt knows that there was one", "verdict.changed",
                 about="claim:degrees/upright/pitch/output:2", data={"verdict": verdict})
        return
    s.expect("another tilt than was asked for gives no figure", "answer.fitted", about="output:2", data={**data, "per_degree_ns": 0})
    s.never("verdict.changed", about="claim:degrees/upright/pitch/output:2")
