"""Brown-outs bite more often than radio: sticks are stirred hard, all but the throttle, and
silences and restarts are watched for, beside a span at rest (common practice). A receiver
that began anew is known by what follows the silence: it has no signal yet, and says so."""

import sheets
from about_jumps import smooth
from about_losses import Drill
from bus import CENTRE, FAILSAFE, HIGH, LOW, Bus
from sitting import MS, S, Sitting

SHEET = sheets.STICKS + "soak: {receiver_supply: the regulator of the controller}\n"
SPAN = 8_600  # frames of 7 ms: a minute, and a little


def scenarios():
    return [holds(), restarts(), failsafe_without_a_silence(), nobody_stirs(), one_after_the_other()]


def stir(bus, frames):
    """Both sticks to and fro, an end in 40 frames; the throttle stays."""
    for n in range(frames):
        place = n % 80
        at = smooth(LOW, HIGH, place, 40) if place <= 40 else smooth(HIGH, LOW, place - 40, 40)
        bus.put(1, at)
        bus.put(2, at)
        bus.send(1)


def start(name):
    s = Sitting(name, ["Runner"], SHEET)
    for kind in ("drill.began", "drill.prompted", "drill.hint", "drill.answered", "drill.ended", "bus.silent", "bus.locked", "failsafe.entered",
                 "failsafe.left", "loss.measured", "values.paused", "link.lost", "link.restored", "air.missed", "wire.gap", "values.jumped",
                 "failsafe.settled"):
        s.leave(kind)
    s.up(20 * MS)
    bus = Bus(s)
    bus.put(3, LOW)
    bus.send(150)
    drill = Drill(s, "stir")
    drill.begin(bus, asks=True)
    bus.send(SPAN)
    return s, bus


def ends(s, bus, verdict):
    bus.put(1, CENTRE)
    bus.put(2, CENTRE)
    bus.send(200)
    if verdict:
        s.expect("stirred hard, against a span at rest", "verdict.changed", about="claim:soak/stir", data={"verdict": verdict})
    else:
        s.never("verdict.changed", about="claim:soak/stir")
    s.end(bus.end + 50 * MS)
    return s


def holds():
    s, bus = start("stir-holds")
    stir(bus, SPAN)
    return ends(s, bus, "seen right")


def restarts():
    s, bus = start("stir-restarts")
    stir(bus, 2_000)
    bus.skip(86)  # 0.6 s without supply
    bus.send(30, flags=FAILSAFE)  # it began anew, and has no link yet
    stir(bus, SPAN - 2_116)
    return ends(s, bus, "seen wrong")


def failsafe_without_a_silence():
    s, bus = start("stir-failsafe")
    stir(bus, 2_000)
    bus.send(30, flags=FAILSAFE)  # the radio's business, no supply's
    stir(bus, SPAN - 2_030)
    return ends(s, bus, "seen right")


def nobody_stirs():
    s, bus = start("stir-nobody")
    stir(bus, 3_000)  # 21 s
    bus.put(1, CENTRE)
    bus.put(2, CENTRE)
    bus.send(SPAN - 3_000)
    s.left.discard("drill.answered")
    s.expect("a minute at rest", "drill.answered", about="drill:stir", data={"prompt": "stir/still", "by": "count"})
    # 21 s; a stick that stands for a moment at each end is stirred on: half a second at most, and 30 ms in which a movement is measured.
    s.expect("sticks were stirred for 21.5 s at most", "drill.answered", about="drill:stir", data={"prompt": "stir/stir"},
             within={"stirred_ns": [20 * S, 21_540 * MS]})
    return ends(s, bus, "")


def one_after_the_other():
    s, bus = start("stir-one-by-one")
    for channel in 1, 2:
        for n in range(SPAN // 2):
            place = n % 80
            bus.put(channel, smooth(LOW, HIGH, place, 40) if place <= 40 else smooth(HIGH, LOW, place - 40, 40))
            bus.send(1)
        bus.put(channel, CENTRE)
    s.left.discard("drill.answered")
    s.expect("a minute at rest", "drill.answered", about="drill:stir", data={"prompt": "stir/still", "by": "count"})
    s.expect("two servos that work one after the other draw half", "drill.answered", about="drill:stir", data={"prompt": "stir/stir"},
             within={"stirred_ns": [0, 1 * S]})
    return ends(s, bus, "")
