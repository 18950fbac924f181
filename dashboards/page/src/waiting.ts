// What a prompt sees and waits for, and how long the drill waits on.
import type {Drills} from './drills';
import {html, nothing, type TemplateResult} from './html';

export function waiting(drills: Drills): TemplateResult | typeof nothing {
  const w = drills.waiting;
  if (!w) return nothing;
  return html`<ul class="plain waiting">
      ${w.waits.map((x) => html`<li class=${x.met ? 'met' : ''}>${x.met ? '✓' : '○'} ${x.text}</li>`)}
    </ul>
    ${w.left_ns === 0 ? nothing : html`<p class="note">${left(w.left_ns)} until the drill ends, if nothing that is asked for moves</p>`}
    <p class="hint" role="alert" ?hidden=${w.warning === ''}>${w.warning}</p>`;
}

function left(ns: number): string {
  const seconds = Math.ceil(ns / 1e9);
  return `${Math.floor(seconds / 60)}:${String(seconds % 60).padStart(2, '0')}`;
}
