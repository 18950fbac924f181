// What this visitor may do, and how the token comes into the page: with the address, once, or typed.
// The browser keeps a cookie for it that no script can read; the page itself keeps nothing.
import {get, post, Refused} from './api';
import {html, nothing, type TemplateResult} from './html';
import type {Store} from './store';
import type {May} from './types';

const fromAddress = '#token=';

// How soon the server is asked again that did not answer, and whether a stream that broke off is refused.
const again = 1000;
const check = 3000;

const noCookie = 'The token is right, but this browser keeps no cookie for the page: allow cookies here, and give it once more.';

export class Access {
  may: May | undefined; // undefined: the server has not said yet
  trying = false; // a token is on its way
  why = ''; // the one before was not taken
  private looks = false; // the stream is open

  constructor(readonly s: Store) {}

  // begin takes the token out of the address before anything else is done with that, and opens the
  // stream once this visitor may read.
  async begin(): Promise<void> {
    const token = this.take();
    addEventListener('hashchange', () => {
      const later = this.take();
      if (later !== '') void this.come(later);
    });
    let asking = false;
    setInterval(() => {
      if (asking || !this.s.gone) return;
      asking = true;
      void this.ask().finally(() => (asking = false)); // it may have been started anew, with another token
    }, check);
    while (!(await this.ask())) await new Promise((wait) => setTimeout(wait, again));
    if (token !== '') await this.come(token);
    if (!this.shut && !this.looks) this.look();
  }

  // shut is that this visitor is shown nothing of the session.
  get shut(): boolean {
    return this.may?.read === false;
  }

  // come gives the token that came with the address. If it is not taken, the view says why.
  private async come(token: string): Promise<void> {
    await this.give(token);
    if (this.why !== '') location.hash = '#access';
  }

  // give hands the token over. The answer to a wrong one is late on purpose.
  async give(token: string): Promise<void> {
    if (this.trying) return;
    this.trying = true;
    this.why = '';
    this.s.changed();
    try {
      await post('/api/token', {token});
      await this.taken();
    } catch (e) {
      this.why = e instanceof Refused ? sentence(e.message) : 'benchproof does not answer: try once more.';
    }
    this.trying = false;
    this.s.changed();
  }

  // taken shows what is to be seen and done now.
  private async taken(): Promise<void> {
    await this.ask();
    if (this.may?.token) this.why = noCookie;
    else this.look();
  }

  // look opens the stream, anew where it is open: its greeting has all parts of the page ask for what
  // they show.
  private look(): void {
    if (this.looks) this.s.restart();
    else this.s.start();
    this.looks = true;
  }

  // take is the token of the address, which is taken out of it, and of the browser's history; '' for none.
  private take(): string {
    if (!location.hash.startsWith(fromAddress)) return '';
    const token = location.hash.slice(fromAddress.length);
    history.replaceState(null, '', location.pathname + location.search);
    this.s.changed();
    return token;
  }

  // ask asks the server what this visitor may do; false: it does not answer.
  private async ask(): Promise<boolean> {
    try {
      this.may = await get<May>('/api/token');
    } catch {
      return false;
    }
    this.s.changed();
    return true;
  }
}

// sentence has a message begin and end as a sentence does.
function sentence(message: string): string {
  return message.charAt(0).toUpperCase() + message.slice(1) + (message.endsWith('.') ? '' : '.');
}

// words say what this visitor may do.
function words(may: May | undefined): string {
  if (!may) return 'Waiting for benchproof.';
  if (!may.read) return 'What is shown here is for who has the token that benchproof was started with.';
  if (may.change) return 'You may look, and set marks, reopen what you changed, and lead drills.';
  if (may.token) return 'You may look. To set marks, reopen what you changed and lead drills, give the token.';
  return 'You may look. Nothing can be changed from here: benchproof was started without a token (--token-file).';
}

// access is a view: what this visitor may do, and a field for the token where it lets do more.
export function access(a: Access): TemplateResult {
  return html`<section class="access" aria-labelledby="access-title">
    <h2 id="access-title">Who may do what</h2>
    <p>${words(a.may)}</p>
    ${a.may?.token ? field(a) : nothing}
  </section>`;
}

// door stands in place of the whole page where this visitor may not look.
export function door(a: Access): TemplateResult {
  return html`<main id="content" class="door" tabindex="-1"><h1>benchproof</h1>${access(a)}</main>`;
}

function field(a: Access): TemplateResult {
  const submit = (e: SubmitEvent): void => {
    e.preventDefault();
    const input = (e.target as HTMLFormElement).elements.namedItem('token') as HTMLInputElement;
    const token = input.value.trim();
    input.value = '';
    if (token !== '') void a.give(token);
  };
  return html`<form @submit=${submit}>
    <label for="token">The token</label>
    <input id="token" name="token" type="password" required autocomplete="off" autocapitalize="none" spellcheck="false"
      aria-describedby="token-said" aria-invalid=${a.why === '' ? 'false' : 'true'} />
    <button ?disabled=${a.trying}>Give the token</button>
    <p id="token-said" role="status" class=${a.why === '' ? '' : 'refused'}>
      ${a.trying ? 'Asking benchproof. Behind wrong tokens that takes up to 8 seconds.' : a.why}
    </p>
  </form>`;
}
