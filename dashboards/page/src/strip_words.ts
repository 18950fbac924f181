// What stands over the traces: names and widths, the axis, marks, outages and the cursor.
import {clock, ticks} from './axis';
import type {Mark, Outage} from './history';
import {ink} from './ink';
import {drawMark} from './marks_drawn';
import {placeMarks} from './marks_placed';
import type {Row} from './rows';
import type {StripSpan} from './strip_span';

// Scene is all of that. Places and lengths are in CSS pixels, moments in ns.
export interface Scene {
  span: StripSpan;
  wide: number;
  high: number;
  bottom: number; // where the rows end
  rows: Row[];
  values: string[]; // of each row
  marks: Mark[];
  outages: Outage[];
}

// lane is the height of the marks above the rows.
export const lane = 40;

const small = 12;

function font(size: number, bold = false): string {
  return `${bold ? '600 ' : ''}${small * size}px system-ui, sans-serif`;
}

// drawWords draws them anew.
export function drawWords(c: CanvasRenderingContext2D, s: Scene): void {
  c.setTransform(s.span.scale, 0, 0, s.span.scale, 0, 0);
  c.clearRect(0, 0, s.wide, s.high);
  drawAxis(c, s);
  drawOutages(c, s);
  drawMarks(c, s);
  drawNames(c, s);
  drawCursor(c, s);
}

function drawAxis(c: CanvasRenderingContext2D, s: Scene): void {
  const i = ink();
  c.font = font(1);
  c.fillStyle = i.quiet;
  c.strokeStyle = i.line;
  c.lineWidth = 1;
  c.textAlign = 'center';
  c.textBaseline = 'middle';
  const to = s.span.axis.ns(s.span.end);
  for (const at of ticks(Math.max(0, s.span.from), to, Math.max(2, s.span.right / 70))) {
    const x = Math.round(s.span.x(at)) + 0.5;
    c.beginPath();
    c.moveTo(x, s.bottom);
    c.lineTo(x, s.bottom + 4);
    c.stroke();
    if (x > 16 && x < s.span.right - 16) c.fillText(clock(at), x, s.bottom + 12);
  }
  c.textAlign = 'left';
  c.fillText('min:s', s.span.right + 5, s.bottom + 12);
  c.fillText('µs', s.span.right + 5, lane - 10);
}

function drawOutages(c: CanvasRenderingContext2D, s: Scene): void {
  const i = ink();
  for (const o of s.outages) {
    const from = Math.max(0, s.span.x(o.from));
    const to = Math.min(s.span.right, s.span.x(Math.min(o.to, s.span.told)));
    if (o.from > s.span.told || to <= 0 || from >= s.span.right) continue;
    const rows = s.rows.filter((r) => o.tap === '' || r.tap.name === o.tap);
    const top = lane + (rows[0]?.y ?? 0);
    const last = rows.at(-1);
    const bottom = last ? lane + last.y + last.h : s.bottom;
    c.strokeStyle = i.wrong;
    c.fillStyle = i.wrong;
    c.globalAlpha = 0.1;
    c.fillRect(from, top, Math.max(1, to - from), bottom - top);
    c.globalAlpha = 1;
    c.lineWidth = 2;
    c.beginPath();
    c.moveTo(from, top + 1);
    c.lineTo(Math.max(from + 1, to), top + 1);
    c.stroke();
  }
}

// drawMarks draws verdicts in one lane, and all else in another. Where words would lie upon one another
// those of the weightier mark stand, and of shapes too; the table has them all.
function drawMarks(c: CanvasRenderingContext2D, s: Scene): void {
  const placed = placeMarks(s.marks, (at) => s.span.x(at), s.span.right, (word) => c.measureText(word).width);
  const i = ink();
  c.textBaseline = 'middle';
  c.font = font(1);
  c.strokeStyle = i.line;
  c.lineWidth = 1;
  for (const p of placed) {
    if (!p.line) continue;
    c.beginPath();
    c.moveTo(Math.round(p.x) + 0.5, p.y + 7);
    c.lineTo(Math.round(p.x) + 0.5, s.bottom);
    c.stroke();
  }
  for (const p of placed) {
    drawMark(c, p.shape, p.x, p.y, i);
    if (p.word === '') continue;
    c.fillStyle = i.ink;
    c.textAlign = p.left ? 'right' : 'left';
    c.fillText(p.word, p.left ? p.x - 9 : p.x + 9, p.y);
  }
}

function drawNames(c: CanvasRenderingContext2D, s: Scene): void {
  const i = ink();
  c.textBaseline = 'middle';
  c.lineJoin = 'round';
  c.lineWidth = 3;
  c.strokeStyle = i.panel;
  const taps = new Set(s.rows.map((r) => r.tap.name));
  for (const [n, r] of s.rows.entries()) {
    const y = lane + r.y + (r.moves ? Math.min(8, r.h / 2) : r.h / 2);
    c.font = font(r.h < 13 ? 0.85 : 1, r.moves);
    c.textAlign = 'left';
    c.fillStyle = r.moves ? i.ink : i.quiet;
    const name = taps.size > 1 && (n === 0 || s.rows[n - 1]?.tap !== r.tap) ? `${r.tap.name}: ${r.name}` : r.name;
    if (r.moves) {
      c.strokeText(name, 4, y);
    } else {
      c.fillStyle = i.panel;
      c.fillRect(0, lane + r.y + 1, c.measureText(name).width + 8, r.h - 2);
      c.fillStyle = i.quiet;
    }
    c.fillText(name, 4, y);
    if (r.moves) drawBands(c, s, r);
    c.textAlign = 'left';
    c.font = font(1);
    c.fillStyle = i.ink;
    c.fillText(s.values[n] ?? '', s.span.right + 5, lane + r.y + r.h / 2);
  }
}

function drawBands(c: CanvasRenderingContext2D, s: Scene, r: Row): void {
  const i = ink();
  c.font = font(0.9);
  c.textAlign = 'right';
  c.fillStyle = i.quiet;
  for (const b of r.bands) {
    const from = Math.max(b.from, r.low);
    const to = Math.min(b.to, r.high);
    const y = lane + r.y + 3 + ((r.high - (from + to) / 2) / (r.high - r.low)) * (r.h - 6);
    if (to <= from || ((to - from) / (r.high - r.low)) * r.h < 9) continue;
    c.strokeText(b.word, s.span.right - 4, y);
    c.fillText(b.word, s.span.right - 4, y);
  }
}

function drawCursor(c: CanvasRenderingContext2D, s: Scene): void {
  if (s.span.cursor < 0) return;
  const x = Math.round(s.span.x(s.span.cursor)) + 0.5;
  if (x < 0 || x > s.span.right) return;
  c.strokeStyle = ink().ink;
  c.lineWidth = 1;
  c.setLineDash([4, 3]);
  c.beginPath();
  c.moveTo(x, lane - 4);
  c.lineTo(x, s.bottom);
  c.stroke();
  c.setLineDash([]);
}
