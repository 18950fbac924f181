// Dated remarks: one touch sets one, and one that was wrong is struck, never erased. And what was
// changed, by name, so that it is seen anew.
import {reopen} from './anew';
import {get, post, Refused} from './api';
import {html, nothing, type TemplateResult} from './html';
import type {Store} from './store';
import {say} from './toast';
import type {Line} from './types';
import {clock} from './words';

// What a mark says that was set without words.
const wordless = 'marked on the page';

// Marks that mean something to benchproof.
const offered = ['phone at the model', 'phone away'];

// mostListed is how many marks are listed, the latest first.
const mostListed = 50;

interface MarkLine extends Line {
  t_ns: number;
  at: string;
  data: {text: string; mark_ns?: number; why?: string};
}

export class Marks {
  words = '';
  striking = 0; // number of the mark that is about to be struck
  topics: string[] = [];

  constructor(readonly s: Store) {
    s.on('hello', () => void this.ask());
  }

  async mark(text: string): Promise<void> {
    await this.put({text}, `Marked: ${text}`);
    if (text === this.words) this.words = '';
  }

  async strike(seq: number): Promise<void> {
    await this.put({strikes: seq}, 'Struck. It stays in the record, struck through.');
    this.striking = 0;
  }

  about(seq: number): void {
    this.striking = seq;
    this.s.changed();
  }

  // list has the marks that this page knows of, the latest first.
  list(): {line: MarkLine; struck: MarkLine | undefined}[] {
    const strikes = this.s.lines.filter((l): l is MarkLine => l.kind === 'mark.struck');
    return this.s.lines
      .filter((l): l is MarkLine => l.kind === 'mark')
      .map((line) => ({line, struck: strikes.find((x) => x.data.mark_ns === line.t_ns && x.data.text === line.data.text)}))
      .reverse()
      .slice(0, mostListed);
  }

  private async put(body: object, done: string): Promise<void> {
    try {
      const {recorded} = await post<{recorded: boolean}>('/api/mark', body);
      say(this.s, recorded ? done : done + ' It is not recorded, or not yet.');
    } catch (e) {
      say(this.s, e instanceof Refused ? e.message : 'benchproof did not answer: it may not have taken that.');
    }
  }

  private async ask(): Promise<void> {
    try {
      this.topics = (await get<{topics: string[]}>('/api/reopen')).topics;
    } catch {
      // Whoever greets next asks again.
    }
    this.s.changed();
  }
}

// markButton sets a mark with one touch, in every view.
export function markButton(s: Store, m: Marks): TemplateResult | typeof nothing {
  if (!s.hello?.change) return nothing;
  return html`<button class="mark" @click=${() => void m.mark(wordless)}>Mark</button>`;
}

export function marks(s: Store, m: Marks): TemplateResult {
  return html`
    <section class="marks" aria-labelledby="marks-title">
      <h2 id="marks-title">Marks</h2>
      ${s.hello?.change ? setting(m) : html`<p>Setting a mark needs the token that benchproof was started with.</p>`}
      <ul class="plain">
        ${m.list().map((x) => item(s, m, x.line, x.struck))}
      </ul>
      ${m.list().length === 0 ? html`<p>No mark was set in what this page shows of the session.</p>` : nothing}
    </section>
    ${s.hello?.change ? reopening(m) : nothing}
  `;
}

function setting(m: Marks): TemplateResult {
  const send = (e: Event): void => {
    e.preventDefault();
    void m.mark(m.words.trim() === '' ? wordless : m.words.trim());
  };
  return html`<form class="row" @submit=${send}>
      <label class="grow"
        >Words, if you like
        <input
          maxlength="500"
          autocomplete="off"
          .value=${m.words}
          @input=${(e: Event) => (m.words = (e.target as HTMLInputElement).value)}
      /></label>
      <button>Mark</button>
    </form>
    <p class="row">${offered.map((text) => html`<button @click=${() => void m.mark(text)}>${text}</button>`)}</p>
    <p class="note">A phone is a radio of its own: time while it is at the model counts for nothing in a long run.</p>`;
}

function item(s: Store, m: Marks, line: MarkLine, struck: MarkLine | undefined): TemplateResult {
  const when = html`<time datetime=${line.at} title=${new Date(line.at).toLocaleTimeString()}>${clock(line.t_ns)}</time>`;
  if (struck) {
    const why = struck.data.why ? `: ${struck.data.why}` : '';
    return html`<li>${when} <s>${line.data.text}</s> <span class="note">struck${why}</span></li>`;
  }
  return html`<li>
    ${when} <span class="grow">${line.data.text}</span>
    ${!s.hello?.change
      ? nothing
      : m.striking === line.seq
        ? html`<button @click=${() => void m.strike(line.seq)}>Strike it</button>
            <button @click=${() => m.about(0)}>Leave it</button>`
        : html`<button aria-label=${`Strike the mark ${line.data.text}`} @click=${() => m.about(line.seq)}>Strike</button>`}
  </li>`;
}

function reopening(m: Marks): TemplateResult {
  const send = (e: Event): void => {
    e.preventDefault();
    const what = new FormData(e.target as HTMLFormElement).get('what');
    if (typeof what === 'string' && what !== '') void reopen(m.s, what);
  };
  return html`<section class="reopen" aria-labelledby="reopen-title">
    <h2 id="reopen-title">What was changed</h2>
    <p>What was seen right and depends on it is stale from then on, until it is seen again.</p>
    <form class="row" @submit=${send}>
      <label class="grow"
        >Changed was
        <select name="what" required>
          <option value="">choose</option>
          ${m.topics.map((t) => html`<option value=${t}>${t}</option>`)}
        </select></label
      >
      <button>See it anew</button>
    </form>
  </section>`;
}
