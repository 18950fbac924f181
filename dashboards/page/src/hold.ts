// What grows or shrinks waits while a finger is on the page, so that nothing moves away under it.

// rest is how long after a touch things stay where they are, ms.
const rest = 700;

let down = false;
let until = 0;

function touched(still: boolean): () => void {
  return () => {
    down = still;
    until = performance.now() + rest;
  };
}

addEventListener('pointerdown', touched(true), {capture: true, passive: true});
for (const end of ['pointerup', 'pointercancel']) addEventListener(end, touched(false), {capture: true, passive: true});

const shown = new Map<string, unknown>();

// hold is a value, or while somebody touches the page the one of before.
export function hold<T>(name: string, value: T): T {
  if ((down || performance.now() < until) && shown.has(name)) return shown.get(name) as T;
  shown.set(name, value);
  return value;
}
