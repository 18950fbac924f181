// What came of a touch, said for a while at the foot of the page, whatever is shown.
import {html, type TemplateResult} from './html';
import type {Store} from './store';

// shownFor is how long it stands there, ms.
const shownFor = 8000;

let said = '';
let fade = 0;

export function say(s: Store, text: string): void {
  said = text;
  s.changed();
  clearTimeout(fade);
  fade = window.setTimeout(() => {
    said = '';
    s.changed();
  }, shownFor);
}

export function toast(): TemplateResult {
  return html`<span class="toast" role="status">${said}</span>`;
}
