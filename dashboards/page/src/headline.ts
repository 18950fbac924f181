// The one line on top: the present in words, wrong things first.
import {html, type TemplateResult} from './html';
import type {Store} from './store';

export function headline(s: Store): TemplateResult {
  if (s.gone || !s.now) {
    return html`<p class="headline trouble" role="alert">
      ${s.heard === 0 ? 'Waiting for benchproof.' : 'benchproof does not answer. What is below is old.'}
    </p>`;
  }
  const parts = [...s.now.headline].sort((a, b) => Number(b.grade === 'trouble') - Number(a.grade === 'trouble'));
  return html`<p class="headline">
    ${parts.map((p) => html`<span class=${'part ' + p.grade}>${p.text}</span>`)}
  </p>`;
}
