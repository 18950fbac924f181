"""The papers of a model: what no wire shows. A change of them makes what rests on it stale
(common practice: any change makes earlier evidence stale; a rebind all of it, what is
learned anew all that outputs do)."""

import sheets
from bus import CENTRE, HIGH, LOW, Bus
from sitting import MS, S, Sitting, compact, near


def scenarios():
    return [papers(), papers_resumed(), papers_gap()]


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


def entry(s, rule, at, date, was=None):
    data = {"entry": "bound", "date": date}
    if was:
        data["was"] = {"entry": "bound", "is": "", "by": "Ann", "date": was}
    s.expect(rule, "papers.changed", about="session", at=near(at), data=data)


def papers_resumed():
    """The daemon is killed and goes on: it puts the papers in again, as they lie beside the sheet then."""
    s = Sitting("papers-resumed", ["SessionEvents"], sheets.SWITCHES)
    s.leave("session.resumed")
    paper(s, 10 * MS, "bound", "2026-05-02")
    entry(s, "what they say as the session begins", 10 * MS, "2026-05-02")
    s.killed(last=2 * S, resumed=9 * S, seq=6)
    paper(s, 9010 * MS, "bound", "2026-05-02")  # nobody changed it meanwhile
    paper(s, 9020 * MS, "bound", "2026-05-04")
    entry(s, "what was known before is known behind it: only what is new is a change", 9020 * MS, "2026-05-04", was="2026-05-02")
    s.end(10 * S)
    return s


def papers_gap():
    """What is changed while the recording has a gap no replay hears of: behind it the papers are those from before."""
    s = Sitting("papers-in-a-gap", ["SessionEvents"], sheets.SWITCHES)
    s.leave("recording.gap")
    paper(s, 10 * MS, "bound", "2026-05-02")
    entry(s, "what they say as the session begins", 10 * MS, "2026-05-02")
    s.add(2 * S, 0, "recording-gap", compact({"ended": False, "why": "disk full"}), "disk full")
    s.add(4 * S, 0, "recording-gap", compact({"ended": True, "why": "room again", "inputs": 600, "seq": 30}), "room again")
    paper(s, 5 * S, "bound", "2026-05-02")
    paper(s, 6 * S, "bound", "2026-05-05")
    entry(s, "they hold over a gap", 6 * S, "2026-05-05", was="2026-05-02")
    s.end(7 * S)
    return s
