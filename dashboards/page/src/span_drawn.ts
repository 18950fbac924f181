// A stretch of traces as one picture that stands still.
import {clock} from './axis';
import type {Ink} from './ink';
import type {Row} from './rows';
import {notHeard} from './tap_trace';

export interface Stretch {
  rows: Row[];
  wide: number; // CSS pixels
  high: number;
  from: number; // ns
  to: number;
  shaded: [number, number];
  stepNs: number; // of the columns of rows
  ticks: number[];
  readLate: (tap: string, from: number, to: number) => boolean; // see History
}

const values = 56; // right of the traces
const out = new Int16Array(2);

export function drawSpan(c: CanvasRenderingContext2D, s: Stretch, ink: Ink): void {
  const right = s.wide - values;
  const x = (ns: number): number => ((ns - s.from) / (s.to - s.from)) * right;
  const bottom = s.high - 20;
  c.clearRect(0, 0, s.wide, s.high);
  c.fillStyle = ink.band;
  c.fillRect(x(s.shaded[0]), 0, Math.max(2, x(s.shaded[1]) - x(s.shaded[0])), bottom);
  c.font = '12px system-ui, sans-serif';
  c.textBaseline = 'middle';
  for (const r of s.rows) {
    drawRow(c, s, r, x, ink);
    c.fillStyle = ink.line;
    c.fillRect(0, r.y + r.h - 1, s.wide, 1);
  }
  c.fillStyle = ink.quiet;
  c.textAlign = 'center';
  for (const at of s.ticks) {
    c.fillRect(x(at), bottom, 1, 4);
    if (x(at) > 14 && x(at) < right - 14) c.fillText(clock(at, s.to - s.from < 8e9 ? 1 : 0), x(at), bottom + 12);
  }
}

function drawRow(c: CanvasRenderingContext2D, s: Stretch, r: Row, x: (ns: number) => number, ink: Ink): void {
  const y = (width: number): number => r.y + 4 + ((r.high - width) / (r.high - r.low)) * (r.h - 8);
  let low = notHeard;
  let high = notHeard;
  let last = notHeard;
  c.fillStyle = ink.mark;
  for (let k = Math.floor(s.from / s.stepNs); k < Math.ceil(s.to / s.stepNs); k++) {
    const what = r.tap.range(k, k + 1, r.index, out);
    let [least = notHeard, most = notHeard] = out;
    if (what === 0) [least, most] = [high, high];
    const left = Math.max(0, x(k * s.stepNs));
    const wide = Math.max(1, x((k + 1) * s.stepNs) - left);
    if (what === 1 && !s.readLate(r.tap.name, k * s.stepNs, (k + 1) * s.stepNs)) {
      c.fillStyle = ink.quiet;
      for (let at = r.y + ((k % 7) + 7) % 7; at < r.y + r.h; at += 7) c.fillRect(left, at, wide, 1);
      c.fillStyle = ink.mark;
    }
    if (least !== notHeard) {
      const top = y(low !== notHeard && low > most ? low : most);
      c.fillRect(left, top - 0.8, wide, y(high !== notHeard && high < least ? high : least) - top + 1.6);
      last = most;
    }
    [low, high] = [least, most];
  }
  c.lineWidth = 3;
  c.strokeStyle = ink.panel;
  c.textAlign = 'left';
  c.strokeText(r.name, 4, r.y + 9);
  c.fillStyle = ink.ink;
  c.fillText(r.name, 4, r.y + 9);
  if (last !== notHeard && last > 1) c.fillText(String(last), s.wide - values + 4, r.y + r.h / 2);
}
