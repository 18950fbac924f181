// The moment in which a claim was decided: what moved around it, with the evidence itself shaded.
import {get} from './api';
import {clock, ticks} from './axis';
import {historyOf} from './history';
import {html, nothing, render, type TemplateResult} from './html';
import {ink, onInk} from './ink';
import {drawSpan} from './span_drawn';
import {place, rowsOf, widthText, type Row} from './rows';
import type {Store} from './store';
import {TapTrace} from './tap_trace';
import type {Answer} from './trace';
import type {Span} from './types';

// around is what is shown before and behind the evidence, ns.
const around = 2e9;

// mostShown is how much of long evidence is shown, ns: its end.
const mostShown = 600e9;

const rowHeight = 34;

// askAgain is how long it takes until what has just happened is all known, ms.
const askAgain = 2500;

// evidenceTrace is the trace of a span, for whoever shows a claim.
export function evidenceTrace(store: Store, span: Span): TemplateResult {
  return html`<evidence-trace .span=${{store, from: span.from_ns, to: span.to_ns}}></evidence-trace>`;
}

interface Wanted {
  store: Store;
  from: number;
  to: number;
}

class EvidenceTrace extends HTMLElement {
  private wanted: Wanted | undefined;
  private rows: Row[] = [];
  private stepNs = 0;
  private why = '';
  private asked: AbortController | undefined;
  private stop: (() => void)[] = [];
  private again = 0;

  set span(w: Wanted) {
    const was = this.wanted;
    this.wanted = w;
    if (was && was.from === w.from && was.to === w.to) return;
    void this.ask();
  }

  connectedCallback(): void {
    const sized = new ResizeObserver(() => this.draw());
    sized.observe(this);
    this.stop = [() => sized.disconnect(), onInk(() => this.draw())];
    if (this.wanted && this.asked?.signal.aborted) void this.ask();
  }

  disconnectedCallback(): void {
    for (const f of this.stop) f();
    this.asked?.abort();
    clearTimeout(this.again);
  }

  private get from(): number {
    const w = this.wanted!;
    return Math.max(0, Math.max(w.from, w.to - mostShown) - around);
  }

  private get to(): number {
    return this.wanted!.to + around;
  }

  private async ask(): Promise<void> {
    this.asked?.abort();
    const asked = (this.asked = new AbortController());
    const [from, to] = [Math.floor(this.from), Math.ceil(this.to)];
    try {
      const a = await get<Answer>(`/api/trace?from_ns=${from}&to_ns=${to}&columns=400`, asked.signal);
      this.stepNs = a.step_ns;
      this.rows = this.rowsOf(a);
      this.why = this.rows.length > 0 ? '' : 'Nothing is known of that moment.';
      if (a.taps.some((t) => t.until * a.step_ns < to - a.step_ns)) this.again = setTimeout(() => void this.ask(), askAgain);
    } catch (e) {
      if (asked.signal.aborted) return;
      this.why = e instanceof Error ? e.message : String(e);
    }
    this.draw();
  }

  // rowsOf are what moved, or else the first few rows.
  private rowsOf(a: Answer): Row[] {
    const taps = a.taps.flatMap((t) => {
      if (t.kind === 'tilt') return []; // how a phone lies is no width
      const tap = new TapTrace(t.tap, t.kind, Math.ceil(150e6 / a.step_ns));
      tap.take(t.first, t.until, t.columns);
      return tap;
    });
    const all = rowsOf(this.wanted!.store, taps, Math.floor(this.from / a.step_ns), Math.ceil(this.to / a.step_ns));
    const moving = all.filter((r) => r.moves);
    return moving.length > 0 ? moving : all.slice(0, 4);
  }

  private draw(): void {
    if (!this.isConnected || !this.wanted) return;
    const words = this.rows.map((r) => `${r.name} ${widthText(r.least, r.most)}`).join(', ');
    const label = `Trace from ${clock(this.from, 1)} to ${clock(this.to, 1)}: ${words}`;
    render(
      html`<div class="evidence-plot">
        ${this.why ? html`<p>${this.why}</p>` : nothing}
        <canvas role="img" aria-label=${label} ?hidden=${this.rows.length === 0}></canvas>
      </div>`,
      this,
    );
    const canvas = this.querySelector('canvas')!;
    const wide = this.clientWidth;
    if (wide < 40 || this.rows.length === 0) return;
    const scale = Math.max(1, devicePixelRatio || 1);
    const high = this.rows.length * rowHeight + 20;
    canvas.width = Math.round(wide * scale);
    canvas.height = Math.round(high * scale);
    const c = canvas.getContext('2d')!;
    c.setTransform(scale, 0, 0, scale, 0, 0);
    place(this.rows, 0, high - 20);
    for (const r of this.rows) [r.h, r.y] = [rowHeight, this.rows.indexOf(r) * rowHeight];
    const history = historyOf(this.wanted.store);
    history.look();
    const readLate = (tap: string, from: number, to: number): boolean => history.readLate(tap, from, to);
    drawSpan(c, {rows: this.rows, wide, high, from: this.from, to: this.to, shaded: [this.wanted.from, this.wanted.to], stepNs: this.stepNs, ticks: ticks(this.from, this.to, wide / 90), readLate}, ink());
  }
}

customElements.define('evidence-trace', EvidenceTrace);
