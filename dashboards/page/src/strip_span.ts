// Which part of the session a strip shows: the last three minutes, or those where it was stopped; and
// where its cursor is.
import {Axis} from './axis';
import {step} from './tap_trace';

export class StripSpan {
  axis = new Axis(600, 1);
  scale = 1; // pixels of the screen in a CSS pixel
  end = 0; // the dot behind the last that is shown
  live = true;
  told = 0; // ns, up to which it is shown: now, or when it was stopped
  cursor = -1; // ns, -1: at the latest

  // seen is up to when something is known, ns.
  constructor(private readonly seen: () => number) {}

  get latest(): number {
    return Math.max(this.axis.dots, this.axis.dot(this.seen()) + 1);
  }

  // from and to are the moments between which something is shown, ns.
  get from(): number {
    return this.axis.ns(this.end - this.axis.dots);
  }

  get to(): number {
    return Math.min(this.told, this.axis.ns(this.end));
  }

  // at is the moment that is read: that of the cursor, or the latest.
  get at(): number {
    return this.cursor >= 0 ? this.cursor : this.to;
  }

  // right is where the traces end, CSS pixels.
  get right(): number {
    return (this.axis.dots * this.axis.wide) / this.scale;
  }

  // fit has it fill so many pixels of the screen, and stay where it was.
  fit(width: number, scale: number): void {
    const was = this.axis.ns(this.end);
    this.scale = scale;
    this.axis = new Axis(width, scale);
    this.end = Math.max(this.axis.dots, Math.round(was / step / this.axis.perDot));
  }

  // follow goes on with what is known, unless it was stopped.
  follow(): void {
    if (this.live) [this.end, this.told] = [this.latest, this.seen()];
  }

  // ns is the moment at a place, CSS pixels.
  ns(x: number): number {
    const {axis, scale} = this;
    return Math.min(this.told, Math.max(0, this.from + ((Math.min(x, this.right) * scale) / axis.wide) * axis.perDot * step));
  }

  // x is the place of a moment, CSS pixels.
  x(ns: number): number {
    return this.axis.x(ns, this.end) / this.scale;
  }

  pause(): void {
    this.live = !this.live;
    if (this.live) this.cursor = -1;
  }

  // jump ends what is shown at a second of the session, or at now if that is earlier.
  jump(seconds: number): void {
    this.live = this.axis.dot(seconds * 1e9) + 1 >= this.latest;
    this.drag(this.axis.dot(seconds * 1e9) + 1);
  }

  // go moves the end by so many ns.
  go(by: number): void {
    this.jump((this.axis.ns(this.end) + by) / 1e9);
  }

  // drag ends it at a dot.
  drag(end: number): void {
    this.told = this.seen();
    this.end = Math.max(this.axis.dots, Math.min(end, this.latest));
  }

  // walk stops it, and puts the cursor where it is seen.
  walk(to: number): void {
    this.live = false;
    this.cursor = Math.max(0, Math.min(to, this.told - step));
    const dot = this.axis.dot(this.cursor);
    if (dot >= this.end) this.end = Math.min(this.latest, dot + 1 + Math.floor(this.axis.dots / 4));
    if (dot < this.end - this.axis.dots) this.end = Math.max(this.axis.dots, dot + Math.floor((this.axis.dots * 3) / 4));
  }
}
