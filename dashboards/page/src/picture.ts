// The picture of traces, drawn by hand and without words: it moves on by whole dots, so that only what
// is new is drawn.
import type {Axis} from './axis';
import type {Ink} from './ink';
import {notHeard} from './tap_trace';
import type {Row} from './rows';

const out = new Int16Array(2);

export class Picture {
  private drawnTo = -1; // the dot behind the last that was drawn
  private drawnFirst = -1; // the first that is in the picture
  private rows: Row[] = [];
  private limit = -1; // the dot behind the last that has a trace
  private last = new Int32Array(0); // least and greatest of that last one, by row
  drawn = 0; // dots, over all rows: for tests and for who measures

  constructor(
    private to: CanvasRenderingContext2D,
    private axis: Axis,
    private scale: number, // pixels of the screen in a CSS pixel
    private readLate: (tap: string, from: number, to: number) => boolean, // see History
  ) {}

  // all draws everything. Behind limit there is no trace: nothing was heard yet, or the strip is stopped.
  all(rows: Row[], end: number, limit: number, ink: Ink): void {
    this.rows = rows;
    this.drawnFirst = end - this.axis.dots;
    this.drawnTo = end;
    this.limit = Math.min(end, limit);
    this.last = new Int32Array(2 * rows.length);
    this.draw(this.drawnFirst, ink);
  }

  // on moves on to an end and draws what is new; from is the first dot that changed. It reports whether
  // the picture moved.
  on(end: number, limit: number, from: number, ink: Ink): boolean {
    const by = end - this.drawnTo;
    limit = Math.min(end, limit);
    if (by < 0 || by >= this.axis.dots || limit < this.limit) {
      this.all(this.rows, end, limit, ink);
      return true;
    }
    if (by === 0 && limit === this.limit && (from >= limit || (from === limit - 1 && this.same(from)))) return false;
    if (by > 0) {
      const {canvas} = this.to;
      this.to.globalCompositeOperation = 'copy';
      this.to.drawImage(canvas, -by * this.axis.wide, 0);
      this.to.globalCompositeOperation = 'source-over';
    }
    const first = Math.max(this.drawnFirst + by, Math.min(from, this.limit - 1, this.drawnTo - 1));
    this.drawnFirst += by;
    this.drawnTo = end;
    this.limit = limit;
    this.draw(first, ink);
    return by > 0;
  }

  // same reports whether a dot is drawn already as it is.
  private same(dot: number): boolean {
    const {perDot} = this.axis;
    return this.rows.every((r, i) => {
      r.tap.range(dot * perDot, (dot + 1) * perDot, r.index, out);
      return out[0] === this.last[2 * i] && out[1] === this.last[2 * i + 1];
    });
  }

  private x(dot: number): number {
    return (dot - this.drawnFirst) * this.axis.wide;
  }

  // draw draws from a dot on to the end.
  private draw(first: number, ink: Ink): void {
    const c = this.to;
    const x = this.x(first);
    const width = this.x(this.drawnTo) - x;
    c.clearRect(x, 0, width, c.canvas.height);
    for (const r of this.rows) this.ground(r, x, width, ink);
    for (const [i, r] of this.rows.entries()) {
      this.trace(r, i, first, this.limit, ink);
    }
    this.drawn += Math.max(0, this.limit - first) * this.rows.length;
  }

  // ground is what lies behind a trace: the cells of modes, and the line between rows.
  private ground(r: Row, x: number, width: number, ink: Ink): void {
    const c = this.to;
    if (r.moves) {
      c.fillStyle = ink.band;
      for (const b of r.bands) {
        const top = this.y(r, Math.min(b.to, r.high));
        const bottom = this.y(r, Math.max(b.from, r.low));
        if (bottom > top) c.fillRect(x, top + 0.5 * this.scale, width, bottom - top - this.scale);
      }
    }
    c.fillStyle = ink.line;
    c.fillRect(x, Math.round((r.y + r.h) * this.scale) - 1, width, 1);
  }

  private y(r: Row, width: number): number {
    const pad = (r.moves ? 3 : 2) * this.scale;
    const height = r.h * this.scale - 2 * pad;
    return Math.round(r.y * this.scale + pad + ((r.high - width) / (r.high - r.low)) * height);
  }

  private trace(r: Row, row: number, first: number, end: number, ink: Ink): void {
    const c = this.to;
    const {perDot, wide} = this.axis;
    const thick = Math.max(1, Math.round((r.moves ? 1.6 : 1) * this.scale));
    const colour = r.moves ? ink.mark : ink.quiet;
    let [low, high] = [notHeard, notHeard]; // of the dot before
    r.tap.range((first - 1) * perDot, first * perDot, r.index, out);
    [low = notHeard, high = notHeard] = out;
    c.fillStyle = colour;
    for (let dot = first; dot < end; dot++) {
      const what = r.tap.range(dot * perDot, (dot + 1) * perDot, r.index, out);
      let [least = notHeard, most = notHeard] = out;
      if (what === 0) [least, most] = [high, high];
      if ((what & 1 && !this.readLate(r.tap.name, this.axis.ns(dot), this.axis.ns(dot + 1))) || (what === 2 && least === notHeard)) {
        c.fillStyle = ink.quiet;
        this.hatch(r, dot);
        c.fillStyle = colour;
      }
      if (least !== notHeard) {
        const top = this.y(r, low !== notHeard && low > most ? low : most);
        const bottom = this.y(r, high !== notHeard && high < least ? high : least);
        c.fillRect(this.x(dot), top - thick / 2, wide, bottom - top + thick);
      }
      low = least;
      high = most;
      if (dot === end - 1) this.last.set([least, most], 2 * row);
    }
  }

  // hatch marks a dot in which a gap is. Its lines stand where the dot is in time, so they move with it.
  private hatch(r: Row, dot: number): void {
    const apart = Math.round(7 * this.scale);
    const {wide} = this.axis;
    const bottom = (r.y + r.h) * this.scale;
    const top = Math.ceil(r.y * this.scale);
    for (let y = top + ((((dot * wide - top) % apart) + apart) % apart); y < bottom; y += apart) {
      this.to.fillRect(this.x(dot), y, wide, Math.min(this.scale * 1.2, bottom - y));
    }
  }
}
