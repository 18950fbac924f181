"""The papers of a model: what no wire shows. A change of them makes what rests on it stale
(common practice: any change makes earlier evidence stale; a rebind all of it, what is
learned anew all that outputs do)."""

import sheets
from bus import CENTRE, HIGH, LOW, Bus
from sitting import MS, S, Sitting, compact, near


def scenarios():
    return [papers()]


def paper(s, at, entry, date, says="", by="Ann"):
    s.add(at, 0, "papers", compact({"entry": entry, "is": says, "by": by, "date": date}))


def papers():
    s = Sitting("papers-changed", ["SessionEvents"], sheets.SWITCHES)
    s.leave("switch.moved")
    paper(s, 10 * MS, "bound", "2026-05-02")
    s.expect("what the papers say as the session begins", "papers.changed", about="session", at=near(10 * MS),
             data={"entry": "bound", "date": "2026-05-02", "by": "Ann", "reopens": "everything"})
    s.up(20 * MS)
    bus = Bus(s)
    for number in (11, 13, 15):
        bus.put(number, LOW)
    bus.send(S // bus.period)
    bus.put(11, CENTRE)
    bus.send(S // bus.period)
    s.expect("the switch was moved, and stands where the sheet has it", "verdict.changed", about="claim:position/inner/middle", data={"verdict": "seen right"})
    at = bus.end + 10 * MS
    paper(s, at, "bound", "2026-05-02")  # as before: no change
    paper(s, at, "throws", "2026-05-03", "ailerons 12 mm up")
    s.expect("looked at by eye: nothing on the wire rests on it", "papers.changed", about="session", at=near(at), data={"entry": "throws", "is": "ailerons 12 mm up"})
    paper(s, at, "learned", "2026-05-03")
    s.expect("what outputs do rests on it, and nothing of this sheet", "papers.changed", about="session", at=near(at), data={"entry": "learned", "reopens": "outputs"})
    paper(s, at, "bound", "2026-05-04", by="Ben")
    s.expect("bound anew", "papers.changed", about="session", at=near(at),
             data={"entry": "bound", "by": "Ben", "date": "2026-05-04", "reopens": "everything", "was": {"entry": "bound", "is": "", "by": "Ann", "date": "2026-05-02"}})
    s.expect("and so all that was seen right is stale", "verdict.changed", about="claim:position/inner/middle", at=near(at), data={"verdict": "stale"})
    paper(s, at, "bound", "yesterday")  # what can't be read says nothing
    s.end(at + 50 * MS)
    return s
