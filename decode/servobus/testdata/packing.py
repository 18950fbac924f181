"""Makes packing.json: frames packed with big integers, independently of the Go code.

Run: python3 packing.py > packing.json
Layout (common practice): channel n is bits 11n..11n+10 of the 176-bit
little-endian number in bytes 1..22; byte 23 flags, byte 24 footer.
"""
import json, random

rng = random.Random(20260502)
rows = [[0] * 16, [2047] * 16, [992] * 16, list(range(16)), [1 << (i % 11) for i in range(16)]]
rows += [[2047 if i == n else 0 for i in range(16)] for n in range(16)]
rows += [[rng.randrange(2048) for _ in range(16)] for _ in range(40)]
out = []
for counts in rows:
    number = sum(c << (11 * n) for n, c in enumerate(counts))
    flags, footer = rng.randrange(16), rng.choice([0x00, 0x04, 0x14, 0x24, 0x34])
    raw = bytes([0x0F]) + number.to_bytes(22, "little") + bytes([flags, footer])
    out.append({"counts": counts, "flags": flags, "footer": footer, "hex": raw.hex()})
print(json.dumps(out, indent=0))
