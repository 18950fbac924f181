// The colours of the page for what is drawn by hand, read from its style sheet once, and again when
// it turns dark or light.

export interface Ink {
  paper: string;
  panel: string;
  ink: string;
  quiet: string;
  line: string;
  mark: string;
  band: string;
  right: string;
  wrong: string;
}

const dark = matchMedia('(prefers-color-scheme: dark)');
let kept: Ink | undefined;
const listeners = new Set<() => void>();

dark.addEventListener('change', () => {
  kept = undefined;
  for (const listener of listeners) listener();
});

export function ink(): Ink {
  if (kept) return kept;
  const style = getComputedStyle(document.documentElement);
  const of = (name: string): string => style.getPropertyValue('--' + name).trim();
  kept = {
    paper: of('paper'), panel: of('panel'), ink: of('ink'), quiet: of('quiet'), line: of('line'), mark: of('mark'), band: of('band'), right: of('right'), wrong: of('wrong'),
  };
  return kept;
}

// onInk has a listener called when the colours are others.
export function onInk(listener: () => void): () => void {
  listeners.add(listener);
  return () => listeners.delete(listener);
}
