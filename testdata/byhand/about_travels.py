"""How far outputs go against what the sheet wants, and where they rest in each mode. The
bounds are the issue's and ours: four pulses in a row, half a second in which what moves an
output stands, the sheet's tolerance of 12 us, a minute between two rests."""

import sheets
from about_outputs import NEUTRAL, both, start
from bus import CENTRE, FAILSAFE, HIGH, LOW
from sitting import MS, S, after, near


def scenarios():
    return [travel(), travel_not(), shifted(), shifted_not()]


def travel():
    s, bus, leads = start("output-travel", ["OutputTravel"], sheet=sheets.LEADS_TRAVEL)
    s.leave("output.back")
    width = {1: NEUTRAL, 2: NEUTRAL, 3: 988_000}
    for number in width:
        leads.output(number, lambda rise, number=number: width[number])
    both(bus, leads, 2 * S)
    bus.put(1, HIGH)
    moved = bus.end
    both(bus, leads, leads.now + 40 * MS)
    width[1] = 2_012_000
    both(bus, leads, leads.now + 2 * S)
    s.expect("held at its end the output stands 92 us beyond 1920: told once what moves it has stood for half a second", "output.beyond",
             about="output:1", at=after(moved, 500 * MS, 650 * MS), from_=after(moved, 20 * MS, 120 * MS),
             data={"width_ns": 2_012_000, "wanted_ns": 1_920_000, "upper": True, "held": True, "past": [], "mode": ""})
    s.expect("and that is how far it goes with its stick at the end", "output.reached", about="output:1",
             at=after(moved, 800 * MS, 950 * MS), data={"width_ns": 2_012_000, "short_ns": -92_000, "upper": True})
    s.expect("a surface that binds is wrong", "verdict.changed", about="claim:ends/output:1", data={"verdict": "seen wrong"})
    bus.put(1, CENTRE)
    width[1] = NEUTRAL
    both(bus, leads, leads.now + S)
    for end, us in ((HIGH, 2_012_000), (LOW, 988_000)):
        bus.put(2, end)
        width[2] = us
        both(bus, leads, leads.now + 1500 * MS)
        s.expect("just as far as is wanted", "output.reached", about="output:2", data={"width_ns": us, "short_ns": 0, "upper": end == HIGH})
    s.expect("both ends as is wanted", "verdict.changed", about="claim:ends/output:2", data={"verdict": "seen right"})
    bus.put(2, CENTRE)
    width[2] = NEUTRAL
    both(bus, leads, leads.now + S)
    bus.put(3, CENTRE)
    width[3] = NEUTRAL
    both(bus, leads, leads.now + S)
    bus.put(3, LOW)
    width[3] = 988_000
    both(bus, leads, leads.now + 1500 * MS)
    s.expect("the throttle came back to its cut: 28 us short of 960", "output.reached", about="output:3",
             data={"width_ns": 988_000, "wanted_ns": 960_000, "short_ns": 28_000, "upper": False})
    s.expect("short of what is wanted is wrong", "verdict.changed", about="claim:ends/output:3", data={"verdict": "seen wrong"})
    s.end(leads.now + 50 * MS)
    return s


def travel_not():
    s, bus, leads = start("output-travel-not", ["OutputTravel"], sheet=sheets.LEADS_TRAVEL)
    for kind in ("air.missed", "failsafe.entered", "failsafe.left"):
        s.leave(kind)
    width = {1: NEUTRAL, 3: NEUTRAL}
    for number in width:
        leads.output(number, lambda rise, number=number: width[number])
    bus.put(3, CENTRE)
    both(bus, leads, 2 * S)
    width[1] = 1_932_000
    both(bus, leads, leads.now + 2 * S)  # just within the tolerance
    width[1] = NEUTRAL
    both(bus, leads, leads.now + S)
    width[1] = 1_932_500
    both(bus, leads, leads.now + 60 * MS)  # three pulses
    width[1] = NEUTRAL
    both(bus, leads, leads.now + S)
    for n in range(60):  # without a signal the receiver's own presets
        width[1] = 2_000_000
        bus.frame(flags=FAILSAFE)
        leads.run(bus.end)
    width[1] = NEUTRAL
    both(bus, leads, leads.now + S)
    bus.put(1, HIGH - 20)  # 12.5 us before its end
    width[1] = 1_800_000
    both(bus, leads, leads.now + 2 * S)
    bus.put(1, HIGH)
    both(bus, leads, leads.now + 700 * MS)  # at its end for too short a time
    bus.put(1, CENTRE)
    width[1] = NEUTRAL
    both(bus, leads, leads.now + S)
    for number in (1, 3):
        s.expect("heard, and nothing more", "output.back", about="output:%d" % number)
    for kind in ("output.beyond", "output.reached"):
        s.never(kind)
    s.never("verdict.changed", about="claim:ends/output:1")
    s.end(leads.now + 50 * MS)
    return s


def shifted():
    s, bus, leads = start("output-shifted", ["OutputNeutral"], sheet=sheets.LEADS_SHIFT)
    s.leave("output.back")
    bus.put(11, LOW)
    bus.put(12, LOW)
    width = {1: NEUTRAL, 2: NEUTRAL}
    for number in width:
        leads.output(number, lambda rise, number=number: width[number])
    both(bus, leads, 5 * S)
    bus.put(11, HIGH)
    moved = bus.end
    width[1], width[2] = NEUTRAL + 20_500, NEUTRAL - 20_000
    both(bus, leads, leads.now + 5 * S)
    rule = "two seconds at rest and fifty pulses, in another mode than before"
    for number, us in ((1, 20_500), (2, -20_000)):
        s.expect(rule, "output.shifted", about="output:%d" % number, at=after(moved, 2950 * MS, 3500 * MS),
                 data={"width_ns": NEUTRAL + us, "was_ns": NEUTRAL, "asked_ns": 0, "mode": "damping", "was_mode": "off", "switches": [11]})
    s.expect("more than 20 us is wrong", "verdict.changed", about="claim:shift/output:1", data={"verdict": "seen wrong"})
    s.expect("20 us is not, and both modes were rested in", "verdict.changed", about="claim:shift/output:2", data={"verdict": "seen right"})
    bus.put(12, HIGH)
    bus.put(2, CENTRE + 32)  # 20 us, as a flight phase does
    width[2] += 20_000
    moved = bus.end
    both(bus, leads, leads.now + 5 * S)
    for number, us in ((1, 0), (2, 20_000)):
        s.expect("another flight phase: told, not judged", "output.shifted", about="output:%d" % number, at=after(moved, 2950 * MS, 3500 * MS),
                 data={"asked_ns": us, "mode": "damping", "was_mode": "damping", "switches": [12]})
    s.end(leads.now + 50 * MS)
    return s


def shifted_not():
    s, bus, leads = start("output-shifted-not", ["OutputNeutral"], sheet=sheets.LEADS_SHIFT)
    bus.put(11, LOW)
    bus.put(12, LOW)
    width = {1: NEUTRAL, 2: NEUTRAL}
    shake = [0]
    for number in width:
        leads.output(number, lambda rise, number=number: width[number] + shake[0] * (rise // (20 * MS) % 2))
    both(bus, leads, 5 * S)
    bus.put(11, HIGH)
    width[1] = NEUTRAL + 40_000
    both(bus, leads, leads.now + 2900 * MS)  # too short a rest
    shake[0] = 10_500  # a model that is moved
    both(bus, leads, leads.now + 5 * S)
    bus.put(1, CENTRE + 162)  # a stick that is held, 101 us off
    shake[0] = 0
    both(bus, leads, leads.now + 5 * S)
    shake[0] = 10_500
    bus.put(1, CENTRE)
    both(bus, leads, leads.now + 60 * S)  # a minute later it is another story
    shake[0] = 0
    both(bus, leads, leads.now + 4 * S)
    for number in (1, 2):
        s.expect("heard, and nothing more", "output.back", about="output:%d" % number)
    s.never("output.shifted")
    s.end(leads.now + 50 * MS)
    return s
