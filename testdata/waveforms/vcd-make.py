#!/usr/bin/env python3
"""Writes vcd-bus.vcd, vcd-habits.vcd, csv-bus.csv and csv-samples.csv, and what
the frames and pulses in them are (vcd-bus.json), from the figures of the bus and the
servo leads alone (common practice): 100 000 baud, 8E2, sixteen channels of eleven
bits, a frame each 7 ms; pulses of 1500 us each 20 ms. It shares no line with the
program. The others are written by hand.
"""
import json, pathlib

here = pathlib.Path(__file__).resolve().parent
BIT = 10_000  # ns


def frame(counts, flags):
    bits = 0
    for channel, count in enumerate(counts):
        bits |= count << (11 * channel)
    return bytes([0x0F]) + bits.to_bytes(22, "little") + bytes([flags, 0])


def character(byte):
    """The bits as a UART sends them, before an inverter: idle is 1."""
    data = [byte >> i & 1 for i in range(8)]
    return [0] + data + [sum(data) & 1] + [1, 1]


def bus(frames, begin, period):
    """Edges (ns, level) of the line that is not inverted, and the end of each
    frame's last character's first stop bit."""
    edges, ends = [(0, 1)], []
    for n, raw in enumerate(frames):
        at = begin + n * period
        for byte in raw:
            for level in character(byte):
                if level != edges[-1][1]:
                    edges.append((at, level))
                at += BIT
        ends.append(at - BIT)
    return edges, ends


def pulses(widths, begin, period):
    edges = [(0, 0)]
    for n, width in enumerate(widths):
        edges += [(begin + n * period, 1), (begin + n * period + width, 0)]
    return edges


def merged(**signals):
    """Times with the changes at each."""
    at = {}
    for name, edges in signals.items():
        for time, level in edges:
            at.setdefault(time, {})[name] = level
    return sorted(at.items())


counts = [[992 + 40 * n + 3 * c for c in range(16)] for n in range(8)]
flags = [0, 0, 4, 4, 0, 3, 0, 0]
frames = [frame(c, f) for c, f in zip(counts, flags)]
edges, ends = bus(frames, 1_000_000, 7_000_000)
widths = [1_500_000, 1_500_250, 988_000, 2_012_000]
leads = pulses(widths, 2_000_333, 20_000_000)
inverted = [(t, 1 - l) for t, l in edges]

# A dump as a simulator writes it, in picoseconds, of the inverted line.
lines = ["$date", "\ttoday", "$end", "$version", "\tby a script", "$end", "$timescale", "\t1ps", "$end",
         "$scope module top $end", "$var wire 1 ! bus $end", '$var wire 1 " pwm1 $end',
         "$var wire 8 # byte [7:0] $end", "$upscope $end", "$enddefinitions $end", "$dumpvars", "bx #", "$end"]
codes = {"bus": "!", "pwm1": '"'}
for time, changes in merged(bus=inverted, pwm1=leads):
    lines.append(f"#{time * 1000}")
    lines += [f"{level}{codes[name]}" for name, level in changes.items()]
    if "bus" in changes and time % 120_000 == 40_000:
        lines.append(f"b{time // 120_000 % 256:b} #")
(here / "vcd-bus.vcd").write_text("\n".join(lines) + "\n")

# The first frames of the same line as another tool might: everything on few lines,
# names of several words, vectors of one bit, no line end at the end.
few = [(t, l) for t, l in inverted if t < 16_000_000]
text = "$timescale 10 us $end\r\n$scope module captured by hand $end\r\n$var wire 1 ab Channel 0 $end $var wire 1 abc Channel [1] $end $enddefinitions $end\r\n"
text += " ".join(f"#{t // BIT:08d} b{l} ab" for t, l in few)
(here / "vcd-habits.vcd").write_bytes(text.encode())

rows = ["# of the line behind an inverter", "Time [us],bus,pwm1"]
level = {}
for time, changes in merged(bus=edges, pwm1=leads):
    level |= changes
    rows.append(f"{time // 1000}.{time % 1000:03d},{level['bus']},{level['pwm1']}")
(here / "csv-bus.csv").write_text("\n".join(rows) + "\n")

# Samples each 2 us of two pulses, with a semicolon and a decimal comma.
rows = ["t (ms);pwm 1;pwm 2"]
one, two = pulses([1_500_000] * 2, 100_000, 4_000_000), pulses([1_000_000] * 2, 300_000, 4_000_000)
for time in range(0, 8_000_000, 20_000):
    rows.append(f"{time // 10**6},{time % 10**6 // 1000:03d};" + ";".join(
        str([l for t, l in line if t <= time][-1]) for line in (one, two)))
(here / "csv-samples.csv").write_bytes("\r\n".join(rows).encode())

(here / "vcd-bus.json").write_text(json.dumps({
    "frames": [{"t_ns": e, "counts": c, "flags": f} for e, c, f in zip(ends, counts, flags)],
    "pulses": [{"t_ns": 2_000_333 + 20_000_000 * n + w, "width_ns": w} for n, w in enumerate(widths)]}, indent=1) + "\n")
