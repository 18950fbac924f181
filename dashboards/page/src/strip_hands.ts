// The strip under a finger, a mouse and keys.
import type {StripSpan} from './strip_span';

// sloppy is how far a finger may stray and still touch what is there, and how near to an event a touch
// means it, CSS pixels.
const sloppy = 4;
const near = 22;

const second = 1e9;
const walks: Record<string, number> = {
  ArrowLeft: -second,
  ArrowRight: second,
  ArrowDown: -second / 10,
  ArrowUp: second / 10,
  PageUp: -30 * second,
  PageDown: 30 * second,
};

export class StripHands {
  private held: {x: number; end: number; moved: boolean} | undefined;
  private hovers = -1; // where a mouse is, CSS pixels; -1: elsewhere

  // events are the moments of what is shown, ns; changed is called behind each touch that moved something, with
  // true where another part is shown.
  constructor(
    private readonly plot: HTMLElement,
    private readonly span: StripSpan,
    private readonly events: () => number[],
    private readonly changed: (elsewhere: boolean) => void,
  ) {
    plot.addEventListener('pointerdown', (e) => this.down(e));
    plot.addEventListener('pointermove', (e) => this.move(e));
    plot.addEventListener('pointerup', (e) => this.up(e));
    plot.addEventListener('pointercancel', () => (this.held = undefined));
    plot.addEventListener('pointerleave', (e) => this.leave(e));
    plot.addEventListener('keydown', (e) => this.key(e));
  }

  // follow keeps the cursor under a mouse that rests while the traces move on.
  follow(): void {
    if (this.span.live && this.hovers >= 0) this.span.cursor = this.span.ns(this.hovers);
  }

  private x(e: PointerEvent): number {
    return e.clientX - this.plot.getBoundingClientRect().left;
  }

  private point(at: number): void {
    this.span.cursor = at;
    this.changed(false);
  }

  private down(e: PointerEvent): void {
    if (e.button !== 0) return;
    this.held = {x: e.clientX, end: this.span.end, moved: false};
    this.plot.setPointerCapture(e.pointerId);
    this.span.live = false;
    this.span.cursor = this.span.ns(this.x(e));
    this.changed(true);
  }

  private move(e: PointerEvent): void {
    if (!this.held) {
      if (e.pointerType !== 'mouse') return;
      this.hovers = this.x(e);
      this.point(this.span.ns(this.hovers));
      return;
    }
    if (Math.abs(this.held.x - e.clientX) > sloppy) this.held.moved = true;
    if (!this.held.moved) return;
    this.span.drag(this.held.end + Math.round(((this.held.x - e.clientX) * this.span.scale) / this.span.axis.wide));
    this.point(this.span.ns(this.x(e)));
  }

  private up(e: PointerEvent): void {
    const touched = this.held && !this.held.moved ? this.event(this.x(e)) : undefined;
    this.held = undefined;
    this.point(touched ?? this.span.ns(this.x(e)));
  }

  // event is the moment of the one that is meant by a touch, if any is.
  private event(x: number): number | undefined {
    const off = (at: number): number => Math.abs(this.span.x(at) - x);
    const [first] = this.events().toSorted((a, b) => off(a) - off(b));
    return first !== undefined && off(first) <= near ? first : undefined;
  }

  private leave(e: PointerEvent): void {
    this.hovers = -1;
    if (e.pointerType === 'mouse' && this.span.live) this.point(-1);
  }

  private key(e: KeyboardEvent): void {
    const by = walks[e.key];
    if (e.key === ' ') this.span.pause();
    else if (e.key === 'End') this.span.jump(Infinity);
    else if (e.key === 'Home') this.span.walk(0);
    else if (by !== undefined) this.span.walk(this.span.at + by);
    else return;
    if (e.key === 'End') this.span.cursor = -1;
    this.changed(true);
    e.preventDefault();
  }
}
