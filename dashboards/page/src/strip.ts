// The strip: the last three minutes as traces, with what happened as marks on the same axis, and the
// whole session to scroll back through.
import {clock} from './axis';
import {changesTable} from './changes';
import {historyOf, type History, type Mark} from './history';
import {html, render, type TemplateResult} from './html';
import {ink, onInk} from './ink';
import {drawOverview} from './marks_drawn';
import {Picture} from './picture';
import {heightOf, place, rowsOf, sameRows, type Row} from './rows';
import type {Store} from './store';
import {stripBar} from './strip_bar';
import {StripHands} from './strip_hands';
import {stripKey} from './strip_key';
import {happened, valueText, widthsText} from './strip_said';
import {StripSpan} from './strip_span';
import {drawWords, lane} from './strip_words';
import {step} from './tap_trace';
import {tracesOf, type Traces} from './trace';

const made = new WeakMap<Store, Strip>();

// strip is the view: an element of its own, which draws itself, and stays the same one while other
// views are shown.
export function strip(s: Store): TemplateResult {
  let element = made.get(s);
  if (!element) {
    element = new Strip();
    element.store = s;
    made.set(s, element);
  }
  return html`${element}`;
}

// showMoment has the strip show a moment, ns, and brings it to the eyes.
export function showMoment(s: Store, ns: number): void {
  made.get(s)?.reveal(ns);
}

// CSS pixels: the axis below the rows, the widths right of them.
const below = 20;
const gutter = 64;

// reads is how often words and widths change at most, ms: nobody reads faster. The same for questions.
const reads = 100;

// speaks is how often it is said what is so now, ms.
const speaks = 5000;

// justly is how far from the cursor another event is, ns.
const justly = 1e6;

// relayout is how often it is looked what moves, ms.
const relayout = 1000;

class Strip extends HTMLElement {
  private given: Store | undefined;
  private traces!: Traces;
  private history!: History;
  private hands: StripHands | undefined;
  private rows: Row[] = [];
  private laidOut = -Infinity;
  private readonly span = new StripSpan(() => this.given?.now?.seen_ns ?? 0);
  private wide = 0; // of the element, CSS pixels
  private high = 0;
  private picture: Picture | undefined;
  private changed = Infinity; // the first column that was not drawn as it is
  private wordsStand = ''; // what the words were drawn of, when, and with the cursor where
  private wordsAt = -Infinity;
  private wordsCursor = -1;
  private wantedAt = -Infinity;
  private spokeAt = -Infinity;
  private stop: (() => void)[] = [];
  private table = false;
  private said = -Infinity;

  set store(s: Store) {
    this.given = s;
    this.traces = tracesOf(s);
    this.history = historyOf(s);
    s.subscribe(() => this.show());
  }

  connectedCallback(): void {
    if (!this.firstChild) this.build();
    const sized = new ResizeObserver(() => this.size());
    sized.observe(this.piece('.strip-plot'));
    this.stop = [() => sized.disconnect(), onInk(() => this.anew()), this.traces.onChange((first) => (this.changed = Math.min(this.changed, first)))];
    this.size();
  }

  disconnectedCallback(): void {
    for (const f of this.stop) f();
  }

  private piece<T extends HTMLElement>(selector: string): T {
    return this.querySelector<T>(selector)!;
  }

  private canvas(name: string): HTMLCanvasElement {
    return this.piece<HTMLCanvasElement>('canvas.' + name);
  }

  private context(name: string): CanvasRenderingContext2D {
    return this.canvas(name).getContext('2d')!;
  }

  // build makes what never changes; words and values are rendered into it.
  private build(): void {
    render(
      html`<section class="strip" aria-label="What moved">
        <div class="strip-bar"></div>
        <p class="strip-read"></p>
        <p class="strip-event unseen" role="status"></p>
        <div class="strip-plot" role="slider" tabindex="0" aria-label="Traces: arrow keys read them, space stops them">
          <canvas class="traces" aria-hidden="true"></canvas>
          <canvas class="words" aria-hidden="true"></canvas>
        </div>
        <div class="strip-all">
          <canvas class="overview" aria-hidden="true"></canvas>
          <input
            type="range"
            min="0"
            step="1"
            aria-label="Where in the session"
            @input=${(e: Event) => this.jump(Number((e.target as HTMLInputElement).value))}
          />
        </div>
        <details class="strip-table" @toggle=${(e: Event) => this.toggle((e.target as HTMLDetailsElement).open)}>
          <summary>The last changes as a table</summary>
          <div class="strip-rows"></div>
        </details>
        ${stripKey()}
      </section>`,
      this,
    );
    this.hands = new StripHands(
      this.piece('.strip-plot'),
      this.span,
      () => this.shownMarks().map((m) => m.at),
      (elsewhere) => (elsewhere ? this.moved() : this.given?.changed()),
    );
  }

  // size fits the canvases to the element and to the pixels of the screen.
  private size(): void {
    const plot = this.piece('.strip-plot');
    const scale = Math.max(1, devicePixelRatio || 1);
    this.wide = plot.clientWidth;
    this.high = lane + Math.round(heightOf(this.rows)) + below;
    if (this.wide < gutter + 40) return;
    plot.style.height = `${this.high}px`;
    const traces = this.canvas('traces');
    const words = this.canvas('words');
    traces.width = Math.round((this.wide - gutter) * scale);
    traces.height = Math.round((this.high - lane - below) * scale);
    traces.style.width = `${traces.width / scale}px`;
    traces.style.height = `${traces.height / scale}px`;
    words.width = Math.round(this.wide * scale);
    words.height = Math.round(this.high * scale);
    const overview = this.canvas('overview');
    overview.width = Math.round(overview.clientWidth * scale);
    overview.height = Math.round(overview.clientHeight * scale);
    this.span.fit(traces.width, scale);
    this.picture = new Picture(this.context('traces'), this.span.axis, scale, (tap, from, to) => this.history.readLate(tap, from, to));
    this.anew();
  }

  // anew has all be drawn once more.
  private anew(): void {
    this.laidOut = -Infinity;
    this.said = -Infinity;
    this.wordsStand = '';
    this.rows = [];
    this.given?.changed();
  }

  // show follows each word of the daemon, once a picture of the screen at most.
  private show(): void {
    if (!this.isConnected || !this.given?.now || !this.picture || document.hidden) return;
    const {span} = this;
    span.follow();
    this.hands?.follow();
    const {perDot, dots} = span.axis;
    const limit = span.axis.dot(span.told) + 1;
    const first = Math.max(0, (span.end - dots) * perDot);
    if (performance.now() - this.wantedAt > reads) {
      this.wantedAt = performance.now();
      this.traces.want(first, span.end * perDot);
      this.history.want(span.from);
    }
    const late = this.history.late.length;
    this.history.look();
    for (const l of this.history.late.slice(late)) this.changed = Math.min(this.changed, Math.floor(l.from / step));
    this.changed = Math.min(this.changed, this.traces.presume());
    if (performance.now() - this.laidOut > relayout && this.lay(first)) {
      this.picture.all(this.rows, span.end, limit, ink());
    } else {
      this.picture.on(span.end, limit, Math.floor(this.changed / perDot), ink());
    }
    this.changed = Infinity;
    this.words();
    if (performance.now() - this.said > 200) {
      this.said = performance.now();
      this.classList.toggle('old', this.given.gone);
      this.bar();
      this.overview();
      if (this.table) this.tell();
    }
  }

  // lay looks which rows there are and what moves, and reports whether the picture has to be drawn anew.
  private lay(first: number): boolean {
    this.laidOut = performance.now();
    const rows = rowsOf(this.given!, this.traces.taps, first, Math.min(this.span.end * this.span.axis.perDot, Math.floor(this.span.told / step) + 1));
    const same = sameRows(this.rows, rows);
    const fits = heightOf(rows) + lane + below === this.high;
    this.rows = rows;
    place(rows, 0, this.high - lane - below);
    if (!fits) {
      const kept = rows;
      this.size();
      this.rows = kept;
      place(kept, 0, this.high - lane - below);
      this.laidOut = performance.now();
      return true;
    }
    return !same;
  }

  // words draws what stands over the traces, where any of it is another than before.
  private words(): void {
    const {span, rows, history} = this;
    const now = performance.now();
    if (now - this.wordsAt < reads && this.wordsStand !== '' && span.cursor === this.wordsCursor) return;
    const values = rows.map((r) => valueText(r, span));
    const last = history.marks.at(-1)?.seq ?? 0;
    const stand = [span.end, last, history.marks.length, history.outages.length, span.cursor, span.live, rows.length, this.laidOut > 0, ...values].join('|');
    if (stand === this.wordsStand) return;
    [this.wordsStand, this.wordsAt, this.wordsCursor] = [stand, now, span.cursor];
    const {wide, high} = this;
    const marks = this.shownMarks();
    drawWords(this.context('words'), {span, wide, high, bottom: high - below, rows, values, marks, outages: history.outages});
    this.read(marks);
  }

  private shownMarks(): Mark[] {
    const {from, to} = this.span;
    return this.history.marks.filter((m) => m.at >= from && m.at <= to).slice(-80);
  }

  // read says what is at the cursor in words, and what is so now for who does not see it.
  private read(marks: Mark[]): void {
    const {at, cursor} = this.span;
    const events = happened(marks, this.span);
    const widths = widthsText(this.rows, this.span);
    this.speak(at, [...events, widths].join(' · '));
    const shown =
      cursor < 0
        ? html`<span class="strip-state">${this.rows.length > 0 ? 'A touch on the traces reads them; on an event, what happened.' : 'Nothing was heard yet.'}</span>`
        : html`<strong>${clock(at, 2)}</strong> ${events.map((e) => html`<strong>${e}</strong> · `)}${widths}`;
    render(shown, this.piece('.strip-read'));
  }

  // speak: what is so now is said now and then, or a screen reader would not come to an end.
  private speak(at: number, sentence: string): void {
    const now = performance.now();
    if (this.span.cursor < 0 && now - this.spokeAt < speaks) return;
    this.spokeAt = now;
    const plot = this.piece('.strip-plot');
    const seconds = Math.round(at / 1e9);
    plot.setAttribute('aria-valuemin', '0');
    plot.setAttribute('aria-valuemax', String(Math.round((this.given?.now?.seen_ns ?? 0) / 1e9)));
    plot.setAttribute('aria-valuenow', String(seconds));
    plot.setAttribute('aria-valuetext', `${clock(at, 1)}: ${sentence}`);
  }

  private bar(): void {
    const moves = (does: () => void): (() => void) => () => {
      does();
      this.moved();
    };
    const does = {pause: moves(() => this.span.pause()), go: (ns: number) => moves(() => this.span.go(ns))(), event: (by: -1 | 1) => this.event(by)};
    render(stripBar(this.span, this.given?.now?.seen_ns ?? 0, this.given?.gone ?? false, this.traces.refused, does), this.piece('.strip-bar'));
  }

  // event puts the cursor on the event before it, or on the next, and says what happened.
  private event(by: -1 | 1): void {
    const {at} = this.span;
    const {marks} = this.history;
    const to = by < 0 ? marks.findLast((m) => m.at < at - justly) : marks.find((m) => m.at > at + justly);
    if (!to) return;
    this.span.walk(to.at);
    this.moved();
    const words = happened(marks, this.span).join('; ');
    render(html`${clock(to.at, 1)}: ${words}`, this.piece('.strip-event'));
  }

  private overview(): void {
    const now = this.given?.now?.seen_ns ?? 0;
    const {from, to, scale} = this.span;
    const range = this.piece<HTMLInputElement>('.strip-all input');
    range.max = String(Math.ceil(now / 1e9));
    if (!range.matches(':active')) range.value = String(Math.round(to / 1e9));
    range.setAttribute('aria-valuetext', `up to ${clock(to)} of ${clock(now)}`);
    const c = this.context('overview');
    c.setTransform(scale, 0, 0, scale, 0, 0);
    drawOverview(c, {wide: c.canvas.width / scale, high: c.canvas.height / scale, now, from, to}, this.history, ink());
  }

  private tell(): void {
    render(changesTable(this.rows, this.shownMarks(), this.span.from, this.span.axis.ns(this.span.end)), this.piece('.strip-rows'));
  }

  private toggle(open: boolean): void {
    this.table = open;
    if (open) this.tell();
  }

  private jump(seconds: number): void {
    this.span.jump(seconds);
    this.moved();
  }

  private moved(): void {
    this.said = -Infinity;
    this.laidOut = -Infinity;
    this.given?.changed();
  }

  // reveal puts the cursor on a moment, and the strip before the eyes.
  reveal(ns: number): void {
    this.span.walk(ns);
    this.moved();
    this.scrollIntoView({block: 'nearest'});
    this.piece('.strip-plot').focus({preventScroll: true});
  }
}

customElements.define('bench-strip', Strip);
