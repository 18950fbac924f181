"""Hands in a drill. Who sits at the keys can be asked (asks in begin). Common
practice: people press Enter too early, move the wrong stick and then the right one,
or press once more when a prompt has just gone on by itself. A question is no answer."""

import sheets
from about_losses import Drill
from about_jumps import smooth
from bus import CENTRE, HIGH, LOW, Bus
from sitting import MS, Sitting, near


def scenarios():
    return [asked(), not_asked(), wrong_stick_let_go(), the_other_way(), at_its_preset(), at_its_preset_from_a_file()]


ASKED = "what does not fit what was asked for is asked about, and judges nothing"
LEFT, HOME, RIGHT = "aileron/left", "aileron/neutral", "aileron/right"


def start(name):
    s = Sitting(name, ["Runner"], sheets.STICKS)
    for kind in ("drill.began", "drill.ended", "bus.silent"):
        s.leave(kind)
    s.up(20 * MS)
    bus = Bus(s)
    bus.put(3, LOW)
    bus.send(150)
    return s, bus, Drill(s, "order")


def moved(bus, channel, to):
    """A third of a second from where a stick stands to a count, and a second there."""
    begin = bus.counts[channel - 1]
    for n in range(1, 51):
        bus.put(channel, smooth(begin, to, n, 50))
        bus.send(1)
    bus.send(143)


def hint(s, rule, at, prompt):
    s.expect(rule, "drill.hint", about="drill:order", at=near(at), data={"prompt": "order/" + prompt})


def prompted(s, *prompts):
    for prompt in prompts:
        s.expect("prompts come in the sheet's order", "drill.prompted", about="drill:order", data={"prompt": "order/" + prompt})


def answered(s, rule, prompt, by, **more):
    s.expect(rule, "drill.answered", about="drill:order", data={"prompt": "order/" + prompt, "by": by}, **more)


def asked():
    s, bus, drill = start("drill-asks")
    drill.begin(bus, asks=True)
    bus.send(100)
    drill.done(bus, LEFT)
    hint(s, "an Enter with nothing moved is asked about", bus.end - 2 * MS, LEFT)
    bus.send(100)
    moved(bus, 2, HIGH)  # the elevator
    drill.step(bus.end - 2 * MS, "repeat", "order/" + LEFT)
    moved(bus, 2, CENTRE)
    drill.step(bus.end - 2 * MS, "repeat", "order/" + LEFT)
    moved(bus, 2, HIGH)
    drill.done(bus, LEFT)
    hint(s, "a wrong stick is asked about before it is a verdict", bus.end - 2 * MS, LEFT)
    bus.send(20)
    moved(bus, 2, CENTRE)
    begin = bus.end
    moved(bus, 1, LOW)
    answered(s, "the right stick then: its stand at the end answers, and only it counts", LEFT, "wire",
             within={"channels.0.from_ns": near(1_500 * 1000), "channels.0.to_ns": near(987_500), "channels.1.to_ns": near(1_500 * 1000)})
    late = bus.end  # the prompt went on by itself meanwhile
    assert late - begin < 1600 * MS
    drill.done(bus, RIGHT)
    hint(s, "an Enter less than a second after a prompt that came by itself answers nothing", bus.end - 2 * MS, RIGHT)
    bus.send(150)
    drill.done(bus, RIGHT)
    hint(s, "asked about: it stands at the other end", bus.end - 2 * MS, RIGHT)
    bus.send(50)
    drill.done(bus, RIGHT)
    answered(s, "an Enter again: it is really there", RIGHT, "builder")
    moved(bus, 1, CENTRE)
    answered(s, "let go", HOME, "wire")
    s.never("verdict.changed", about="claim:alone/aileron")  # a stick that is let go is moved by nobody else
    prompted(s, LEFT, LEFT, LEFT, RIGHT, HOME, "elevator/back")
    drill.step(bus.end + 5 * MS, "abandon")
    bus.send(20)
    s.end(bus.end + 50 * MS)
    return s


def not_asked():
    s, bus, drill = start("drill-asks-nobody")
    drill.begin(bus)
    bus.send(100)
    drill.done(bus, LEFT)
    s.never("drill.hint")  # lines from a file have no answer to a question
    answered(s, "the builder's word answers at once", LEFT, "builder")
    prompted(s, LEFT, RIGHT)
    bus.send(20)
    drill.step(bus.end - 2 * MS, "abandon")
    bus.send(20)
    s.end(bus.end + 50 * MS)
    return s


def listening(name):
    s = Sitting(name, ["Runner"], sheets.STICKS)
    for kind in ("bus.silent", "bus.locked"):
        s.leave(kind)
    s.up(20 * MS)
    bus = Bus(s)
    bus.put(3, LOW)
    bus.send(100)
    s.drill(bus.end - 2 * MS, {"drill": "order", "do": "begin", "asks": True})
    bus.send(1)
    drill = Drill(s, "order")
    drill.step(bus.end - 2 * MS, "confirm")
    bus.send(150)
    return s, bus, drill


def hold(bus, channel, count, frames=150):
    bus.put(channel, count)
    return bus.send(frames)


def wrong_stick_let_go():
    s, bus, drill = listening("drill-wrong-stick")
    hold(bus, 2, LOW)
    drill.done(bus, "aileron/left")
    s.expect(ASKED, "drill.hint", about="drill:order", at=near(bus.end - 2 * MS), data={"prompt": "order/aileron/left"})
    bus.send(100)
    hold(bus, 2, CENTRE)  # let go, and only then the right one
    hold(bus, 1, LOW)
    s.expect("the elevator went home before the aileron began to move: no company of it", "verdict.changed", about="claim:answers/controls",
             data={"verdict": "seen right"})
    hold(bus, 1, HIGH)
    s.expect("aileron to both ends", "verdict.changed", about="claim:order/aileron", data={"verdict": "seen right"})
    s.expect("and alone", "verdict.changed", about="claim:alone/aileron", data={"verdict": "seen right"})
    s.end(bus.end + 50 * MS)
    return s


def the_other_way():
    s, bus, drill = listening("drill-other-way")
    hold(bus, 1, HIGH)
    drill.done(bus, "aileron/left")
    s.expect(ASKED, "drill.hint", about="drill:order", at=near(bus.end - 2 * MS), data={"prompt": "order/aileron/left"})
    bus.send(100)
    hold(bus, 1, LOW)
    s.expect("moved there after all", "verdict.changed", about="claim:answers/controls", data={"verdict": "seen right"})
    hold(bus, 1, HIGH)
    s.expect("aileron to both ends", "verdict.changed", about="claim:order/aileron", data={"verdict": "seen right"})
    s.expect("and alone", "verdict.changed", about="claim:alone/aileron", data={"verdict": "seen right"})
    s.end(bus.end + 50 * MS)
    return s


AT_PRESET = "a preset can't be told from a hold on a channel that stands at it: the check starts away from every preset, or says that it could not tell"


def at_preset(name, **begin):
    """Throttle cut and the switch in the middle, where both should go without a signal."""
    s = Sitting(name, ["Runner"], sheets.LOSSES)
    for kind in ("bus.silent", "bus.locked", "switch.moved", "mode.asked", "verdict.changed", "values.jumped"):
        s.leave(kind)
    s.up(20 * MS)
    bus = Bus(s)
    bus.put(3, LOW)
    bus.put(11, CENTRE)
    bus.send(150)
    drill = Drill(s, "failsafe")
    drill.begin(bus, **begin)
    bus.send(150)
    return s, bus, drill


def left(s, bus, drill, doubt):
    s.expect(AT_PRESET, "drill.answered", about="drill:failsafe", data={"prompt": "failsafe/soon/away", "by": "builder", "doubt": doubt})
    bus.send(20)
    drill.step(bus.end - 2 * MS, "abandon")
    bus.send(20)
    s.end(bus.end + 50 * MS)
    return s


def at_its_preset():
    s, bus, drill = at_preset("drill-at-preset", asks=True)
    drill.done(bus, "soon/away")
    s.expect(AT_PRESET, "drill.hint", about="drill:failsafe", at=near(bus.end - 2 * MS), data={"prompt": "failsafe/soon/away"})
    bus.send(20)
    bus.put(11, HIGH)  # the switch is moved, the throttle is left
    bus.send(60)
    drill.done(bus, "soon/away")
    return left(s, bus, drill, "throttle stands where it should go without a signal")


def at_its_preset_from_a_file():
    s, bus, drill = at_preset("drill-at-preset-nobody")
    s.never("drill.hint")
    bus.put(11, HIGH)
    bus.send(60)
    drill.done(bus, "soon/away")
    return left(s, bus, drill, "throttle stands where it should go without a signal")
