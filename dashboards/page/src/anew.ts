// To have seen anew what was changed: a verdict stands until the wire shows another.
import {post, Refused} from './api';
import {html, nothing, type TemplateResult} from './html';
import type {Store} from './store';
import {say} from './toast';

// asked are the names of what is being asked for.
const asked = new Set<string>();

// anew asks for it with a touch, where this visitor may; what is '' where nothing can be asked for.
export function anew(s: Store, what: string): TemplateResult | typeof nothing {
  if (what === '') return nothing;
  if (!s.hello?.change) return html`<span class="anew">Changed it? Have it seen anew: <code>benchproof reopen ${what}</code></span>`;
  return html`<button class="anew" ?disabled=${asked.has(what) || s.gone} @click=${() => void reopen(s, what)}>Changed: see ${what} anew</button>`;
}

// reopen asks for it, and says what came of that.
export async function reopen(s: Store, what: string): Promise<void> {
  asked.add(what);
  s.changed();
  try {
    const {recorded} = await post<{recorded: boolean}>('/api/reopen', {what});
    say(s, `What depends on ${what} is to be seen anew.` + (recorded ? '' : ' It is not recorded, or not yet.'));
  } catch (e) {
    say(s, e instanceof Refused ? e.message : 'benchproof did not answer: it may not have taken that.');
  }
  asked.delete(what);
  s.changed();
}
