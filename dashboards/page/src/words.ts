import {clock as axisClock} from './axis';

// Figures as the sentences of the server have them.

const nsPerMicro = 1000;
const nsPerSecond = 1e9;

// micros is a width in whole microseconds, rounded as the status line has it.
export function micros(ns: number): string {
  return `${Math.floor((ns + nsPerMicro / 2) / nsPerMicro)} µs`;
}

// longestWidth is what no width of a pulse reaches, ns: what is longer is a time.
const longestWidth = 10e6;

function length(ns: number): string {
  const long = Math.abs(ns);
  if (long < longestWidth) return `${(ns / nsPerMicro).toFixed(1)} µs`;
  if (long < nsPerSecond) return `${(ns / 1e6).toFixed(0)} ms`;
  return `${(ns / nsPerSecond).toFixed(2)} s`;
}

// figure puts a figure of a claim into words: its name, and how much.
export function figure(name: string, value: number): [string, string] {
  const unit = /_(ns|ppm)$/.exec(name)?.[1];
  const words = (unit ? name.slice(0, -unit.length - 1) : name).replaceAll('_', ' ');
  if (unit === 'ns') return [words, length(value)];
  if (unit === 'ppm') return [words, `${value / 10_000} %`];
  return [words, String(value)];
}

// clock is bench time as the terminal has it.
export function clock(ns: number): string {
  return axisClock(ns, 3);
}

// counted is so many of a thing.
export function counted(n: number, one: string): string {
  return n === 1 ? `1 ${one}` : `${n} ${one}s`;
}
