// What the views of the drills work with, and what a person has typed there.
import type {Cues} from './cues';
import type {Drills, Running} from './drills';
import type {Store} from './store';
import type {Wake} from './wake';

export const needsToken = 'This page may only look. Leading a drill needs the token that benchproof was started with.';

export class Desk {
  chosen = ''; // the drill of the list that is about to begin
  yes = '';
  by = '';
  words = '';
  private looked = ''; // the prompt that was looked at last
  private wide = innerWidth;

  constructor(
    readonly s: Store,
    readonly drills: Drills,
    readonly cues: Cues,
    readonly wake: Wake,
  ) {
    drills.on((shown) => this.looks(shown.running?.prompt));
    addEventListener('hashchange', () => this.named());
    addEventListener('resize', () => this.turned());
    addEventListener('keydown', (e) => this.key(e));
    this.named();
  }

  // looks brings a prompt that is new right below the line on top, so that all of it is read on a
  // small screen too.
  private looks(prompt: Running['prompt']): void {
    const at = prompt ? `${prompt.id} ${prompt.since_ns}` : '';
    if (at === this.looked) return;
    this.looked = at;
    if (prompt && this.drills.mine) soon('.drill .stage', (found) => found.scrollIntoView());
  }

  // turned looks once more where a phone was turned: not where a keyboard came up on its screen.
  private turned(): void {
    if (innerWidth === this.wide) return;
    this.wide = innerWidth;
    this.looked = '';
    this.looks(this.drills.running?.prompt);
  }

  // key has an Enter that is for nothing else do what Done does.
  private key(e: KeyboardEvent): void {
    const p = this.drills.standing;
    const free = e.target === document.body || (e.target as HTMLElement).id === 'content';
    if (e.key !== 'Enter' || !free || !location.hash.startsWith('#drill') || !this.may || !this.drills.mine) return;
    if (p && !p.hands && p.answers !== 'words' && p.answers !== 'marks') void this.drills.put('done');
  }

  // named chooses the drill that the address names: #drill/NAME.
  private named(): void {
    const [view, name] = location.hash.split('/');
    if (view === '#drill' && name) this.choose(decodeURIComponent(name));
  }

  get may(): boolean {
    return this.s.hello?.change === true;
  }

  typed(what: 'yes' | 'by' | 'words', e: Event): void {
    this[what] = (e.target as HTMLInputElement).value;
    this.s.changed();
  }

  // choose opens a drill of the list, and brings it to where it is seen.
  choose(name: string): void {
    this.chosen = name;
    this.s.changed();
    if (name !== '') focusSoon('.chosen button');
  }
}

// soon does something to what is about to be drawn.
function soon(what: string, does: (found: HTMLElement) => void, pictures = 600): void {
  requestAnimationFrame(() => {
    const found = document.querySelector<HTMLElement>(what);
    if (found) does(found);
    else if (pictures > 0) soon(what, does, pictures - 1);
  });
}

// focusSoon gives the focus to it, so that who uses keys, or hears the page, is where it goes on.
export function focusSoon(what: string): void {
  soon(what, (found) => found.focus({preventScroll: what.startsWith('.answers')}));
}
