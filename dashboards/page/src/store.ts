// All that the page knows: what its one stream brought, and whether it still comes.
import {get, text} from './api';
import type {Claim, Hello, Line, Next, Now, Sheet} from './types';

// Behind so long without a word the daemon counts as gone; it sends at least each 400 ms.
const patience = 900;

// keptLines bounds the events that are kept in the page; older ones are asked for.
const keptLines = 5000;

// keptPast is how many are asked for when the page opens.
const keptPast = 500;

type Listener = () => void;

export class Store {
  hello: Hello | undefined;
  now: Now | undefined;
  sheet: Sheet | undefined; // the same as long as the session is
  next: Next[] = []; // to be done, what settles most first
  claims = new Map<string, Claim>(); // in the sheet's order
  lines: Line[] = []; // oldest first
  heard = 0; // performance.now() of the latest word of the daemon
  gone = false; // the daemon does not answer

  private source: EventSource | undefined;
  private from: number | undefined; // the first stream began behind this event
  private earlier = false; // what happened before that is asked for, or here
  private listeners = new Set<Listener>();
  private lineListeners = new Set<(line: Line) => void>();
  private messageListeners = new Map<string, Set<(data: unknown) => void>>();
  private asked = false;

  // start opens the stream, and looks whether it lives.
  start(): void {
    this.open();
    setInterval(() => this.look(), 50);
  }

  // subscribe has a listener called, once a picture of the screen at most, when something changed.
  subscribe(listener: Listener): void {
    this.listeners.add(listener);
  }

  // onLine has a listener called with each event that is new to this page, in order.
  onLine(listener: (line: Line) => void): void {
    this.lineListeners.add(listener);
  }

  // on has a listener called with the data of each message of a name that the stream brings.
  on(name: string, listener: (data: unknown) => void): void {
    const all = this.messageListeners.get(name) ?? new Set();
    this.messageListeners.set(name, all.add(listener));
    if (all.size === 1 && this.source) this.hear(this.source, name);
  }

  // changed has all listeners called before the next picture.
  changed(): void {
    if (this.asked) return;
    this.asked = true;
    const draw = (): void => {
      if (!this.asked) return;
      this.asked = false;
      for (const listener of this.listeners) listener();
    };
    requestAnimationFrame(draw);
    if (document.hidden) setTimeout(draw, 500); // no picture is asked for then
  }

  // seconds of silence of the daemon.
  get silence(): number {
    return (performance.now() - this.heard) / 1000;
  }

  private open(): void {
    const last = this.lines.at(-1)?.seq ?? this.from;
    const source = new EventSource('/api/live' + (last === undefined ? '' : `?after=${last}`));
    this.source = source;
    source.addEventListener('hello', (e) => this.greet(JSON.parse(e.data) as Hello));
    source.addEventListener('now', (e) => {
      this.now = JSON.parse(e.data) as Now;
      this.word();
    });
    source.addEventListener('claims', (e) => {
      for (const c of (JSON.parse(e.data) as {claims: Claim[]}).claims) this.claims.set(c.claim, c);
      this.word();
    });
    source.addEventListener('next', (e) => {
      this.next = (JSON.parse(e.data) as {next: Next[]}).next;
      this.word();
    });
    source.onmessage = (e) => this.line(JSON.parse(e.data) as Line);
    source.onerror = () => {
      // A refusal closes it for good; the browser itself goes on after a break.
      if (source.readyState !== EventSource.CLOSED || this.source !== source) return;
      setTimeout(() => this.restart(), 1000);
    };
    for (const name of this.messageListeners.keys()) this.hear(source, name);
  }

  private hear(source: EventSource, name: string): void {
    source.addEventListener(name, (e) => {
      const data: unknown = JSON.parse((e as MessageEvent<string>).data);
      for (const listener of this.messageListeners.get(name) ?? []) listener(data);
    });
  }

  // restart opens the stream anew, where it was: it was refused, or this visitor may do more now.
  restart(): void {
    this.source?.close();
    this.open();
  }

  // greet begins anew where another session is shown than before.
  private greet(hello: Hello): void {
    const other = this.hello && (this.hello.session !== hello.session || this.hello.build !== hello.build);
    if (other) {
      location.reload();
      return;
    }
    this.from ??= hello.after;
    if (!this.earlier && this.from > 0) void this.past(this.from);
    if (!this.sheet) void this.read();
    this.hello = hello;
    document.title = `benchproof: ${hello.model}`;
    this.word();
  }

  // read brings the sheet. Where that fails, the next greeting tries again.
  private async read(): Promise<void> {
    try {
      this.sheet = await get<Sheet>('/api/sheet');
    } catch {
      return;
    }
    this.changed();
  }

  // past brings what happened before this page was opened. Where it can't, the next greeting tries again.
  private async past(upTo: number): Promise<void> {
    this.earlier = true;
    let lines: string;
    try {
      lines = await text(`/api/timeline?after=${Math.max(0, upTo - keptPast)}&limit=${keptPast}`);
    } catch {
      this.earlier = false;
      return;
    }
    const past = lines
      .split('\n')
      .filter((l) => l !== '')
      .map((l) => JSON.parse(l) as Line);
    this.lines.unshift(...past.filter((l) => l.seq <= upTo));
    this.changed();
  }

  private line(line: Line): void {
    const last = this.lines.at(-1)?.seq ?? 0;
    if (line.seq <= last) return;
    this.lines.push(line);
    if (this.lines.length > keptLines) this.lines.splice(0, this.lines.length - keptLines);
    for (const listener of this.lineListeners) listener(line);
    this.word();
  }

  private word(): void {
    this.heard = performance.now();
    this.gone = false;
    this.changed();
  }

  private look(): void {
    const gone = performance.now() - this.heard > patience;
    if (gone !== this.gone) {
      this.gone = gone;
      this.changed();
    }
  }
}
