// The shapes of marks, and the overview of a whole session, drawn by hand.
import type {History, Shape} from './history';
import type {Ink} from './ink';

// outlines are the shapes, around 0, CSS pixels.
const outlines: Record<Shape, (c: CanvasRenderingContext2D) => void> = {
  right: (c) => c.arc(0, 0, 6, 0, 2 * Math.PI),
  wrong: (c) => polygon(c, [[0, -6.5], [7, 6], [-7, 6]]),
  mark: (c) => polygon(c, [[-4, -7], [6, -3.5], [-4, 0], [-4, 7], [-5.5, 7], [-5.5, -7]]),
  lost: (c) => polygon(c, [[-6, -6], [6, -6], [6, 6], [-6, 6]]),
  back: (c) => polygon(c, [[0, -7], [7, 0], [0, 7], [-7, 0]]),
  drill: (c) => polygon(c, [[-5, -6.5], [6.5, 0], [-5, 6.5]]),
  other: (c) => c.arc(0, 0, 3.5, 0, 2 * Math.PI),
};

// signs are what is drawn upon a shape.
const signs: Partial<Record<Shape, [number, number][][]>> = {
  right: [[[-3, 0.5], [-1, 2.5], [3, -2.5]]],
  wrong: [[[0, -2.5], [0, 2]], [[0, 3.6], [0, 4.6]]],
  lost: [[[-3, -3], [3, 3]], [[-3, 3], [3, -3]]],
};

function polygon(c: CanvasRenderingContext2D, points: [number, number][]): void {
  for (const [n, [x, y]] of points.entries()) {
    if (n === 0) c.moveTo(x, y);
    else c.lineTo(x, y);
  }
  c.closePath();
}

function colour(shape: Shape, ink: Ink): string {
  if (shape === 'right') return ink.right;
  if (shape === 'wrong' || shape === 'lost') return ink.wrong;
  return shape === 'other' ? ink.quiet : ink.mark;
}

// drawMark draws a shape around a place.
export function drawMark(c: CanvasRenderingContext2D, shape: Shape, x: number, y: number, ink: Ink): void {
  c.save();
  c.translate(x, y);
  c.fillStyle = colour(shape, ink);
  c.beginPath();
  outlines[shape](c);
  c.fill();
  c.strokeStyle = ink.panel;
  c.lineWidth = 1.8;
  for (const line of signs[shape] ?? []) {
    c.beginPath();
    for (const [n, [px, py]] of line.entries()) {
      if (n === 0) c.moveTo(px, py);
      else c.lineTo(px, py);
    }
    c.stroke();
  }
  c.restore();
}

// Whole is what an overview shows: a session up to now, and the part that the strip shows.
export interface Whole {
  wide: number;
  high: number;
  now: number; // ns
  from: number;
  to: number;
}

export function drawOverview(c: CanvasRenderingContext2D, w: Whole, history: History, ink: Ink): void {
  const x = (ns: number): number => (Math.max(0, Math.min(ns, w.now)) / Math.max(1, w.now)) * w.wide;
  c.clearRect(0, 0, w.wide, w.high);
  c.fillStyle = ink.band;
  c.fillRect(0, 6, w.wide, w.high - 12);
  c.fillStyle = ink.wrong;
  for (const o of history.outages) {
    c.fillRect(x(o.from), w.high - 14, Math.max(1, x(Math.min(o.to, w.now)) - x(o.from)), 5);
  }
  for (const m of history.marks) {
    if (m.shape === 'other' || m.shape === 'back' || m.shape === 'lost') continue;
    c.fillStyle = colour(m.shape, ink);
    c.fillRect(x(m.at) - 1, m.shape === 'wrong' ? 8 : 14, 2, m.shape === 'wrong' ? 16 : 10);
  }
  c.strokeStyle = ink.ink;
  c.lineWidth = 2;
  const left = x(w.from);
  c.strokeRect(Math.min(left + 1, w.wide - 7), 3, Math.max(6, x(w.to) - left - 2), w.high - 6);
}
