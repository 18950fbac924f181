// The sessions beside this one, and the bench report of each.
import {get, Refused, text} from './api';
import {html, nothing, type TemplateResult} from './html';
import type {Store} from './store';
import type {PastSession, Sessions} from './types';
import {verdictShape} from './verdict';

const here = '#sessions';

export class Past {
  list: PastSession[] | undefined;
  more = 0;
  why = ''; // there is no list
  making = ''; // name of the session whose report is being made
  made = new Set<string>(); // names of those that were
  refused = new Map<string, string>(); // why there is none, by name

  constructor(readonly s: Store) {
    addEventListener('hashchange', () => this.entered());
    s.on('hello', () => this.entered());
  }

  // entered asks anew each time that the view is opened, and when the stream is.
  private entered(): void {
    if (location.hash === here) void this.ask();
  }

  async ask(): Promise<void> {
    try {
      const found = await get<Sessions>('/api/sessions');
      [this.list, this.more, this.why] = [found.sessions, found.more, ''];
    } catch (e) {
      this.why = said(e);
    }
    this.made.clear(); // what was made is kept for a minute only
    this.s.changed();
  }

  // make has the server make the report of a session, so that it is there when it is opened.
  async make(name: string): Promise<void> {
    if (this.making !== '') return;
    this.making = name;
    this.refused.delete(name);
    this.s.changed();
    try {
      await text(reportOf(name), longReport);
      this.made.add(name);
      setTimeout(() => this.forget(name), 50_000);
    } catch (e) {
      this.refused.set(name, said(e));
    }
    this.making = '';
    this.s.changed();
  }

  private forget(name: string): void {
    this.made.delete(name);
    this.s.changed();
  }
}

// longReport is how long the report of a long session may take, ms.
const longReport = 600_000;

function said(e: unknown): string {
  return e instanceof Refused ? e.message : 'benchproof does not answer';
}

function reportOf(name: string): string {
  return `/sessions/${encodeURIComponent(name)}/report`;
}

export function sessions(p: Past): TemplateResult {
  return html`<section class="sessions" aria-labelledby="sessions-title">
    <h2 id="sessions-title">Sessions</h2>
    <p><a class="button" href="#sheet">Back to the sheet</a> <button @click=${() => void p.ask()}>Look again</button></p>
    ${p.why === '' ? nothing : html`<p role="alert" class="refused">${p.why}</p>`} ${p.list ? listed(p, p.list) : waiting(p)}
  </section>`;
}

function waiting(p: Past): TemplateResult {
  return p.why === '' ? html`<p role="status">Looking for sessions.</p>` : html``;
}

function listed(p: Past, list: PastSession[]): TemplateResult {
  if (list.length === 0) return html`<p>No session is kept beside this one.</p>`;
  return html`<ul class="sessions-list">
      ${list.map((one) => session(p, one))}
    </ul>
    ${p.more > 0 ? html`<p>${p.more} more lie beside these.</p>` : nothing}`;
}

function session(p: Past, one: PastSession): TemplateResult {
  const why = p.refused.get(one.name);
  return html`<li>
    <h3>${one.model}, ${when(one.begun)}</h3>
    <p class="quiet">${one.name}${one.length_ns === undefined ? nothing : html`, ${length(one.length_ns)}`}</p>
    ${one.running ? html`<p>This session: it still runs.</p>` : counted(one)}
    <p>${report(p, one)}</p>
    ${why === undefined ? nothing : html`<p role="alert" class="refused">${why}</p>`}
  </li>`;
}

// counted are the verdicts of a session, where a record tells them.
function counted(one: PastSession): TemplateResult {
  const c = one.count;
  if (!c) return html`<p class="quiet">No record of it was made yet: its report tells.</p>`;
  if (c.seen_right + c.seen_wrong + c.open + c.stale === 0) return html`<p class="quiet">Nothing was judged in it.</p>`;
  return html`<p class="counts">
    <span>${c.seen_wrong} ${verdictShape('seen wrong')}</span>
    <span>${c.seen_right} ${verdictShape('seen right')}</span>
    <span>${c.open} ${verdictShape('open')}</span>
    ${c.stale > 0 ? html`<span>${c.stale} ${verdictShape('stale')}</span>` : nothing}
  </p>`;
}

// report is the way to a session's report: made first where there is none, which takes a while.
function report(p: Past, one: PastSession): TemplateResult {
  const about = `of ${one.model}, ${when(one.begun)}`;
  if (one.report || p.made.has(one.name)) {
    return html`${p.made.has(one.name) ? html`<span role="status">The report is made. </span>` : nothing}<a class="button" href=${reportOf(one.name)} target="_blank" rel="noopener noreferrer" aria-label=${`Open the report ${about}`}
      >Open the report</a
    >`;
  }
  if (p.making === one.name) {
    return html`<span role="status" class="making"><progress aria-label="The report"></progress> The report is being made: a long session takes a minute or two.</span>`;
  }
  return html`<button ?disabled=${p.making !== ''} aria-label=${`Make the report ${about}`} @click=${() => void p.make(one.name)}>
    Make the report
  </button>`;
}

// when is a date as this browser's owner writes it.
function when(begun: string): string {
  return new Date(begun).toLocaleString([], {dateStyle: 'medium', timeStyle: 'short'});
}

// length of a session in words.
function length(ns: number): string {
  const minutes = Math.round(ns / 60e9);
  if (minutes < 1) return `${Math.round(ns / 1e9)} s long`;
  const [hours, rest] = [Math.floor(minutes / 60), minutes % 60];
  return hours > 0 ? `${hours} h ${rest} min long` : `${minutes} min long`;
}
