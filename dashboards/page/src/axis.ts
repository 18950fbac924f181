// The axis of time: which columns a pixel shows, where a moment is, and what is written below.
import {step} from './tap_trace';

// shownColumns is how many columns the strip shows: three minutes.
export const shownColumns = 3600;

// Axis maps columns to pixels of the screen. So many columns make a dot, and a dot is so many pixels
// wide, both whole numbers: a picture that moves on by a dot is the same picture, moved.
export class Axis {
  readonly perDot: number; // columns
  readonly wide: number; // pixels of a dot
  readonly dots: number; // that are shown

  // width is in pixels of the screen, of which scale make a CSS pixel: a dot is one of those at most.
  constructor(
    readonly width: number,
    scale: number,
  ) {
    let best = {perDot: Math.max(1, Math.ceil(shownColumns / width)), wide: 1, off: Infinity};
    for (let wide = 1; wide <= Math.max(1, Math.floor(scale)); wide++) {
      for (let perDot = 1; perDot <= 24; perDot++) {
        const lacks = shownColumns - Math.floor(width / wide) * perDot;
        const off = (lacks > 0 ? 4 * lacks : -lacks) + wide * 150;
        if (off < best.off) best = {perDot, wide, off};
      }
    }
    this.perDot = best.perDot;
    this.wide = best.wide;
    this.dots = Math.max(1, Math.floor(width / best.wide));
  }

  // dot is the dot in which a moment is, ns.
  dot(ns: number): number {
    return Math.floor(ns / step / this.perDot);
  }

  // ns is the moment with which a dot begins.
  ns(dot: number): number {
    return dot * this.perDot * step;
  }

  // x is where a moment is, in pixels, in a picture that ends behind a dot.
  x(ns: number, end: number): number {
    return (ns / step / this.perDot - (end - this.dots)) * this.wide;
  }
}

const second = 1e9;

// ticks are the round seconds between two moments, at most so many.
export function ticks(from: number, to: number, most: number): number[] {
  const steps = [0.1, 0.2, 0.5, 1, 2, 5, 10, 20, 30, 60, 120, 300, 600, 1200, 1800, 3600, 7200, 14400, 43200, 86400];
  const apart = (steps.find((s) => (to - from) / (s * second) <= most) ?? 86400) * second;
  const list: number[] = [];
  for (let at = Math.ceil(from / apart) * apart; at <= to; at += apart) list.push(at);
  return list;
}

// clock is bench time as the sentences have it: minutes and seconds, with hours from one hour on.
export function clock(ns: number, decimals = 0): string {
  const tenths = Math.floor(ns / (second / 10 ** decimals));
  const all = Math.floor(tenths / 10 ** decimals);
  const rest = decimals > 0 ? '.' + String(tenths % 10 ** decimals).padStart(decimals, '0') : '';
  const two = (n: number): string => String(n).padStart(2, '0');
  const h = Math.floor(all / 3600);
  const m = Math.floor(all / 60) % 60;
  return (h > 0 ? `${h}:${two(m)}` : String(m)) + ':' + two(all % 60) + rest;
}
