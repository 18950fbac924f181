"""A spare switch on the transmitter may set marks. There is no checksum: a press of
three frames is none. What a receiver does without its transmitter is nobody's mark."""

import sheets
from bus import FAILSAFE, HIGH, LOST, LOW, Bus
from sitting import MS, Sitting, compact, near


def scenarios():
    return [marks(), struck()]


def marks():
    s = Sitting("mark-button", ["Button"], sheets.SPARE)
    s.up(20 * MS)
    bus = Bus(s)
    bus.put(8, HIGH)  # held while the bus begins: nobody pressed it now
    bus.send(60)
    s.leave("switch.moved")
    bus.put(8, LOW)
    bus.send(60)
    for _ in range(2):
        bus.put(8, HIGH)
        pressed, _ = bus.send(30)
        s.expect("pressed by a live transmitter", "mark", about="switch:spare", at=near(pressed + 21 * MS), from_=near(pressed),
                 data={"text": "spare pressed"})
        bus.put(8, LOW)
        bus.send(40)
    bus.put(8, HIGH)
    bus.send(3)  # wrong frames
    bus.put(8, LOW)
    bus.send(40)
    s.leave("air.missed")
    s.leave("failsafe.entered")
    s.leave("failsafe.left")
    bus.send(30, flags=LOST)
    bus.put(8, HIGH)  # a preset
    bus.send(60, flags=LOST | FAILSAFE)
    bus.send(60)  # and the transmitter comes back with it pressed
    bus.put(8, LOW)
    _, end = bus.send(60)
    s.end(end + 50 * MS)
    return s


def struck():
    """Words are taken back by naming date and words; the mark stays, and another of the same words too."""
    s = Sitting("mark-struck", ["SessionEvents"], sheets.PLAIN)
    s.up(20 * MS)
    bus = Bus(s)
    bus.send(60)
    up = "left aileron goes up".encode()
    for _ in range(2):
        at = bus.end
        s.add(at, 0, "mark", up, up.decode())
        s.expect("a mark is what the builder says, and stays", "mark", about="session", at=near(at), data={"text": up.decode()})
        bus.send(60)
    at = bus.end
    named = {"mark_ns": (at - 420 * MS) // 1000 * 1000, "text": up.decode(), "why": "the right one did"}
    s.add(at, 0, "strike", compact(named))
    s.expect("a mark is struck by its date and its words", "mark.struck", about="session", at=near(at), data=named)
    _, end = bus.send(60)
    s.end(end + 50 * MS)
    return s
