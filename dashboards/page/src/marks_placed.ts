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
const longest = 26; // signs of a word

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
    const word = p.word.length > longest ? p.word.slice(0, longest - 1) + '…' : p.word;
    const length = wide(word) + 4;
    const sides: [boolean, number, number][] = [[false, p.x + half, p.x + half + length], [true, p.x - half - length, p.x - half]];
    const side = sides.find(([, a, b]) => a >= 0 && b <= right + 50 && taken[p.lane]!.every(([f, t]) => b <= f || a >= t));
    p.word = side ? word : '';
    if (!side) continue;
    p.left = side[0];
    taken[p.lane]!.push([side[1], side[2]]);
  }
  return list;
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
