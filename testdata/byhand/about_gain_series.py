"""A model that is propped up at typed angles with the gain knob at five places. So many µs a degree
are put in at each place, and must be found there; and how they follow the knob. A knob that is
turned while the model is tilted leaves its place open, and an output that swings is too much, even
here. Nothing says which gain is right."""

from about_degrees import AROUND, SHEET as DEGREES, Propped
from about_losses import Drill
from about_outputs import both, start, swing
from about_tilts import NEUTRAL
from bus import CENTRE, HIGH, LOW
from sitting import MS, S

SHEET = DEGREES.replace("measure: [degrees]", "measure: [gain]").replace("stabiliser:", """\
  9: {name: gain, kind: knob, ends: {none: 1500, all: 2012}}
gain: {law: one-sided, channel: gain, zero: 1500, full: 2012}
stabiliser:""")

LAID, UNTOUCHED = 5 * S, 20 * S
MOST = 4000  # ns a degree at full gain


def scenarios():
    return [
        series("gain-series-knob-turned", lambda share: share, "straight", turned=2),
        series("gain-series-swings", lambda share: max(0, share - 250) * 4 // 3, "flat-below", at=1_627_500, swings=True),
    ]


class Geared(Propped):
    """Its answer is a part of MOST, by a share of the gain, thousandths."""

    def __init__(self, bus, law):
        super().__init__(None)
        self.bus, self.law = bus, law

    def share(self):
        return (self.bus.counts[8] - CENTRE) * 1000 // (HIGH - CENTRE)

    def width(self, _):
        return NEUTRAL + round(MOST * self.law(self.share()) / 1000 * self.angle) // 500 * 500


def place(n):
    return CENTRE + (HIGH - CENTRE) * n // 4


def prop(bus, leads, drill, model, prompt, angle, meanwhile=lambda: None):
    model.angle = angle
    both(bus, leads, bus.end + 400 * MS)
    meanwhile()
    both(bus, leads, bus.end + 1300 * MS)
    drill.done(bus, prompt, words=f"{abs(angle)} +-0.2")
    both(bus, leads, bus.end + 50 * MS)


def series(name, law, found, at=None, turned=None, swings=False):
    s, bus, leads = start(name, ["Mode", "OutputUnsteady"] if swings else ["Mode"], sheet=SHEET, latency=0)
    for kind in ("output.back", "drill.answered", "model.rested", "verdict.changed", "gain.swept"):
        s.leave(kind)
    model = Geared(bus, law)
    bus.put(11, LOW)
    bus.put(9, place(0))
    leads.output(2, model.width)
    if swings:  # with more than half of the gain, as long as the model lies level
        leads.output(2, lambda rise: swing(1.5, 12)(rise) if model.share() > 600 and model.angle == 0 else model.width(rise))
    both(bus, leads, 2 * S)
    drill = Drill(s, "gain-series")
    drill.begin(bus)
    both(bus, leads, bus.end + 800 * MS)  # the switch stands where it is wanted
    for n in range(5):
        bus.put(9, place(n))
        both(bus, leads, bus.end + 800 * MS)
        both(bus, leads, bus.end + UNTOUCHED)
        for side, angles in zip(("there", "other"), AROUND):
            for k, angle in enumerate(angles, 1):
                turn = lambda: None
                if n == turned and side == "other" and k == 2:
                    turn = lambda: nudge(bus, leads, place(n))
                prop(bus, leads, drill, model, f"{n + 1}/{side}/{k}", angle, turn)
        model.angle = 0
    both(bus, leads, bus.end + LAID + 300 * MS)
    s.left.discard("mode.asked")
    s.expect("the switch asks for it", "mode.asked", about="stabiliser", data={"mode": "upright"})
    expects(s, found, at, swings)
    s.end(leads.now + 50 * MS)
    return s


def nudge(bus, leads, home):
    """Somebody turns the knob and turns it back."""
    bus.put(9, home + 80)
    both(bus, leads, bus.end + 400 * MS)
    bus.put(9, home)
    both(bus, leads, bus.end + 400 * MS)


def expects(s, found, at, swings):
    data = {"mode": "upright", "axis": "pitch", "channel": 9, "law": found}
    if at:
        data["at_ns"] = at
    s.expect("how the answers follow the knob", "gain.measured", about="stabiliser", data=data)
    s.left.discard("verdict.changed")
    if swings:
        for gain in (1_883_750, 2_011_875):
            s.expect("it swings at the last two places, and that is too much, even there", "output.unsteady", about="output:2",
                     data={"gain_ns": gain}, within={"amplitude_ns": [11_000, 13_000]})
        s.leave("output.calm")
        s.expect("too much", "verdict.changed", about="claim:steady/output:2", data={"verdict": "seen wrong"})
    for part in ("law", "none", "full"):
        s.expect("what the sheet has, and what is known", "verdict.changed", about="claim:gain/" + part, data={"verdict": "seen right"})
