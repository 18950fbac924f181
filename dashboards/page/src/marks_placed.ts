// Where marks stand above the traces, and which have room for their words.
import type {Mark, Shape} from './history';

// Placed is a mark, or some verdicts of one moment, CSS pixels.
export interface Placed {
  x: number;
  y: number;
  shape: Shape;
  word: string; // '' where there is no room
  left: boolean; // the word stands left of the shape
  line: boolean; // down through the traces
}

// weight is what goes first where words would lie upon one another.
const weight: Record<Shape, number> = {wrong: 0, mark: 1, lost: 2, drill: 3, other: 4, right: 5, back: 6};

// lined are the shapes from which a line runs down through the traces.
const lined = new Set<Shape>(['wrong', 'mark', 'lost', 'drill']);

const lanes = [10, 30]; // middle of the lane of verdicts, and of that of all else
const half = 8; // of a shape, with room around it
const longest = [52, 26]; // signs of a word: the first for which there is room

// placeMarks places marks, which are in the order of time; right is where the traces end.
export function placeMarks(marks: Mark[], x: (ns: number) => number, right: number, wide: (word: string) => number): Placed[] {
  const list = gather(marks, x);
  const taken: [number, number][][] = [[], []];
  for (const p of list) taken[p.lane]!.push([p.x - half, p.x + half]);
  for (const p of [...list].sort((a, b) => weight[a.shape] - weight[b.shape] || b.x - a.x)) {
    if (p.shape === 'back') {
      p.word = '';
      continue;
    }
    const free = (from: number, to: number): boolean => from >= 0 && to <= right && taken[p.lane]!.every(([f, t]) => to <= f || from >= t);
    const found = longest.flatMap((n) => sides(p.x, shortened(p.word, n), wide)).find((s) => free(s.from, s.to));
    p.word = found?.word ?? '';
    if (!found) continue;
    p.left = found.left;
    taken[p.lane]!.push([found.from, found.to]);
  }
  return list;
}

function shortened(word: string, most: number): string {
  return word.length > most ? word.slice(0, most - 1) + '…' : word;
}

// sides are where a word can stand: right of its shape, or left of it.
function sides(x: number, word: string, wide: (word: string) => number): {word: string; left: boolean; from: number; to: number}[] {
  const length = wide(word) + 4;
  return [
    {word, left: false, from: x + half, to: x + half + length},
    {word, left: true, from: x - half - length, to: x - half},
  ];
}

interface Gathered extends Placed {
  lane: number;
  count: number;
}

// gather joins marks of a lane that would lie upon one another: verdicts of a kind are counted, and of
// others the weightiest stands.
function gather(marks: Mark[], x: (ns: number) => number): Gathered[] {
  const list: Gathered[] = [];
  for (const m of marks) {
    const lane = m.shape === 'right' || m.shape === 'wrong' ? 0 : 1;
    const at = x(m.at);
    const before = list.findLast((p) => p.lane === lane);
    const near = before !== undefined && at - before.x < 2 * half - 2;
    if (near && before.shape === m.shape && lane === 0) {
      before.count++;
      before.word = `${before.count} seen ${m.shape}`;
    } else if (near && weight[m.shape] >= weight[before.shape]) {
      continue;
    } else {
      if (near) list.splice(list.indexOf(before), 1);
      list.push({x: at, y: lanes[lane] ?? 0, shape: m.shape, word: m.word, left: false, line: lined.has(m.shape), lane, count: 1});
    }
  }
  return list;
}
