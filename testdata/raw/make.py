"""Makes the raw bus files of this folder, independently of the Go code.

Run: python3 make.py
Frames are packed with big integers: channel n is bits 11n..11n+10 of the
176-bit little-endian number in bytes 1..22, header 0x0F, flags in byte 23
(bit 2 frame lost, bit 3 failsafe), footer in byte 24 (common practice; the
telemetry footers from memory).
"""
import pathlib, random

here = pathlib.Path(__file__).parent
rng = random.Random(14)


def frame(counts, flags=0, footer=0):
    number = sum(c << (11 * n) for n, c in enumerate(counts))
    return bytes([0x0F]) + number.to_bytes(22, "little") + bytes([flags, footer])


def moving(n, **kw):
    counts = [992] * 16
    for i in range(n):
        counts[0] = 992 + (i * 37) % 700
        counts[10] = (172, 992, 1811)[i // 40 % 3]
        yield frame(counts, **{k: v(i) for k, v in kw.items()})


clean = b"".join(moving(120))
(here / "clean.bus").write_bytes(clean)
(here / "flags.bus").write_bytes(b"".join(moving(120, flags=lambda i: 0 if i < 60 else 4 if i < 80 else 12 if i < 110 else 0)))
(here / "slots.bus").write_bytes(b"".join(moving(60, footer=lambda i: (0x04, 0x14, 0x24, 0x34)[i % 4])))
dirty = bytearray(clean)
dirty[24 + 25 * 10] = 0x77            # a wrong end
dirty[25 * 20] = 0xF0                 # a wrong header
del dirty[25 * 30 + 7]                # a byte lost
dirty[25 * 40:25 * 40] = b"\x0f"      # a byte added
dirty[25 * 50 + 3:25 * 51] = b""      # interrupted
(here / "dirty.bus").write_bytes(bytes(rng.randbytes(61) + dirty[11:] + dirty[:9]))
(here / "noise.bus").write_bytes(rng.randbytes(20000))
