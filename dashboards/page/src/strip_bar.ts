// What stands above a strip: what is shown, and the way to other parts of the session.
import {clock} from './axis';
import {html, nothing, type TemplateResult} from './html';
import type {StripSpan} from './strip_span';

// Does is what its buttons do.
export interface Does {
  pause: () => void;
  go: (ns: number) => void;
  event: (by: -1 | 1) => void; // to the one before, or the next
}

const minute = 60e9;

export function stripBar(span: StripSpan, now: number, gone: boolean, refused: string, does: Does): TemplateResult {
  return html`<button type="button" @click=${does.pause}>${span.live ? 'Pause' : 'To now'}</button>
    <button type="button" @click=${() => does.go(-minute)}>1 min back</button>
    <button type="button" ?disabled=${span.live} @click=${() => does.go(minute)}>1 min on</button>
    <button type="button" @click=${() => does.event(-1)}>Event before</button>
    <button type="button" ?disabled=${span.live} @click=${() => does.event(1)}>Next event</button>
    <span class="strip-state">${stateText(span, now, gone)}</span>
    ${refused ? html`<span class="strip-state trouble">${refused}</span>` : nothing}`;
}

function stateText(span: StripSpan, now: number, gone: boolean): string {
  if (!span.live) return `stopped at ${clock(span.to)}, ${clock(Math.max(0, now - span.to))} before now`;
  return gone ? 'old: benchproof does not answer' : 'the last three minutes';
}
