import {html, nothing, render, type TemplateResult} from './html';
import {Store} from './store';
import {Access, access, door} from './access';
import {headline} from './headline';
import {Past, sessions} from './sessions';
import {sheet} from './sheet';
import {Cues} from './cues';
import {Desk} from './desk';
import {drill, underWayFlag} from './drill';
import {Drills} from './drills';
import {markButton, Marks, marks} from './marks';
import {toast} from './toast';
import {Wake} from './wake';
import {phone, phoneTap} from './phone';
import {Sensing} from './sensing';
import {draft} from './draft';
import {Drafting} from './drafting';

const store = new Store();
const drills = new Drills(store);
const drafting = new Drafting(store);
const cues = new Cues(store, drills, drafting);
const wake = new Wake(() => store.changed());
drills.on((shown) => wake.want('drill', shown.running !== undefined));
drafting.on((now) => wake.want('draft', now.state === 'asking'));
const desk = new Desk(store, drills, cues, wake);
const notes = new Marks(store);
const sensing = new Sensing(store);
const visitor = new Access(store);
const past = new Past(store);

// The views of the page, by the fragment of its address. The first is shown where none is named.
const views: Record<string, {title: string; view: (s: Store) => TemplateResult; lacks?: () => boolean}> = {
  sheet: {title: 'Sheet', view: sheet},
  drill: {title: 'Drills', view: () => drill(desk)},
  marks: {title: 'Marks', view: (s) => marks(s, notes)},
  phone: {title: 'Phone', view: (s) => phone(s, sensing, wake), lacks: () => phoneTap(store) === undefined},
  draft: {title: 'Draft', view: () => draft(drafting, cues, wake), lacks: () => drafting.now === undefined},
  sessions: {title: 'Sessions', view: () => sessions(past)},
  access: {title: 'Access', view: () => access(visitor), lacks: () => store.hello?.change !== false}, // it stands in the footer too
};

function shown(): string {
  const name = location.hash.slice(1).split('/')[0] ?? '';
  if (name in views) return name;
  return drafting.now ? 'draft' : 'sheet'; // a session that listens has no sheet yet
}

function draw(): void {
  if (visitor.shut) {
    render(door(visitor), document.body);
    return;
  }
  const name = shown();
  const known = store.now !== undefined; // before, nobody knows which views there are, nor how many rows their names fill
  render(
    html`
      <a class="skip" href="#content" @click=${(e: Event) => skip(e)}>To the content</a>
      <header class="top">
        <h1 class="unseen">benchproof: ${store.hello?.model ?? ''}</h1>
        ${headline(store, drills.losesSignal)}
      </header>
      <nav aria-label="Views">
        ${Object.entries(views)
          .filter(([, v]) => known && !v.lacks?.())
          .map(([key, v]) => html`<a href=${'#' + key} aria-current=${key === name ? 'page' : 'false'}>${v.title}</a>`)}
        ${name === 'drill' ? '' : underWayFlag(desk)} ${markButton(store, notes)} ${toast()}
      </nav>
      <main id="content" tabindex="-1" class=${store.gone ? 'old' : ''}>${known ? views[name]?.view(store) : nothing}</main>
      <footer>
        <a href="/guide/glossary">What the words mean</a> <a href="/guide">Guide</a> <a href="/guide/cautions">Cautions</a> <a href="#access">Access</a>
      </footer>
    `,
    document.body,
  );
}

// The fragment of the address names the view, so the place to skip to can't be in it.
function skip(e: Event): void {
  e.preventDefault();
  document.getElementById('content')?.focus();
}

store.subscribe(draw);
addEventListener('hashchange', () => store.changed());
void visitor.begin();
draw();
