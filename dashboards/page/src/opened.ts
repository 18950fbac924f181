// Which lines of the sheet show their evidence, and how one is brought to the eyes.
import {html, type TemplateResult} from './html';
import type {Store} from './store';

const opened = new Set<number>();

export function isOpen(number: number): boolean {
  return opened.has(number);
}

export function toggle(s: Store, number: number): void {
  if (!opened.delete(number)) opened.add(number);
  s.changed();
}

// lineLink leads to a line of the sheet, and opens it.
export function lineLink(s: Store, number: number, words: TemplateResult): TemplateResult {
  const follow = (e: Event): void => {
    if (!document.getElementById(`line-${number}`)) {
      address = ''; // from another view the address leads there
      return;
    }
    e.preventDefault();
    show(s, number);
  };
  return html`<a href=${`#sheet/${number}`} @click=${follow}>${words}</a>`;
}

let address = ''; // that was heeded

// heedAddress shows the line that the address of the page names.
export function heedAddress(s: Store): void {
  if (location.hash === address) return;
  address = location.hash;
  const number = /^#sheet\/(\d+)$/.exec(address)?.[1];
  if (number) queueMicrotask(() => show(s, Number(number)));
}

// show opens a line, and brings it to the eyes and under the keys.
function show(s: Store, number: number): void {
  opened.add(number);
  s.changed();
  requestAnimationFrame(() => {
    const at = document.getElementById(`line-${number}`);
    at?.scrollIntoView({block: 'start'});
    at?.querySelector('button')?.focus({preventScroll: true});
  });
}
