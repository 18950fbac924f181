// What the claims of a line rest on: their sentences, what to do, the figures, and the moments that
// decided them.
import {anew} from './anew';
import {evidenceTrace} from './evidence_trace';
import {html, nothing, type TemplateResult} from './html';
import type {Store} from './store';
import {showMoment} from './strip';
import type {Claim, Line, SheetClaim, Span} from './types';
import {byGravity, sentence, verdictShape} from './verdict';
import {clock, figure} from './words';

// evidence is that of a line's claims, the gravest first.
export function evidence(s: Store, claims: Claim[], fixed: Map<string, SheetClaim>): TemplateResult {
  // What was seen wrong has its own beside it, what is settled otherwise has them below.
  const topics = (of: Claim[]): string[] => of.flatMap((c) => fixed.get(c.claim)?.reopens ?? []);
  const beside = topics(claims.filter((c) => c.verdict === 'seen wrong'));
  const others = new Set(topics(claims.filter((c) => c.verdict !== 'open')).filter((what) => !beside.includes(what)));
  return html`
    ${byGravity(claims).map((c) => html`<article>${one(s, c, fixed.get(c.claim))}</article>`)}
    ${[...others].map((what) => html`<p>${anew(s, what)}</p>`)}
  `;
}

function one(s: Store, claim: Claim, fixed: SheetClaim | undefined): TemplateResult {
  return html`
    <p class="sentence">${verdictShape(claim.verdict)} ${sentence(claim)}</p>
    ${claim.verdict === 'seen wrong' ? html`<p>${anew(s, fixed?.reopens ?? '')}</p>` : nothing} ${toSettle(claim, fixed?.only_wrong ?? false)} ${figures(claim)} ${moments(s, claim)} ${decided(s, claim)}
  `;
}

// toSettle is what brings a claim that is not settled to be seen.
function toSettle(claim: Claim, onlyWrong: boolean): TemplateResult | typeof nothing {
  if (claim.verdict !== 'open' && claim.verdict !== 'stale') return nothing;
  const what = onlyWrong ? 'It can be seen wrong, but never right: ' : 'To see it: ';
  if (claim.drill === '') return html`<p>${what}${claim.settle}.</p>`;
  const own = claim.settle === `drill ${claim.drill}` ? nothing : html`${claim.settle}; `;
  return html`<p>${what}${own}<a href=${`#drill/${claim.drill}`}>drill ${claim.drill}</a></p>`;
}

function figures(claim: Claim): TemplateResult | typeof nothing {
  const all = Object.entries(claim.figures);
  if (all.length === 0) return nothing;
  return html`<dl class="figures">
    ${all.map(([name, value]) => {
      const [words, much] = figure(name, value);
      return html`<div>
        <dt>${words}</dt>
        <dd>${much}</dd>
      </div>`;
    })}
  </dl>`;
}

// moments are the stretches of evidence, the trace of the latest, and the way to each in the strip.
function moments(s: Store, claim: Claim): TemplateResult | typeof nothing {
  const latest = claim.evidence.at(-1);
  if (!latest) return nothing;
  return html`${evidenceTrace(s, latest)}
    <ul class="moments" aria-label="Seen">
      ${claim.evidence.map((span) => html`<li>${moment(s, span)}</li>`)}
    </ul>`;
}

function moment(s: Store, span: Span): TemplateResult {
  const words = `seen from ${clock(span.from_ns)} to ${clock(span.to_ns)}`;
  return html`<button class="moment" @click=${() => showMoment(s, span.to_ns)}>${words}</button>`;
}

// decided names the event with which the verdict came, and the one that caused it.
function decided(s: Store, claim: Claim): TemplateResult | typeof nothing {
  const at = s.lines.findLastIndex((l) => l.kind === 'verdict.changed' && l.about === `claim:${claim.claim}`);
  const line = s.lines[at];
  if (!line) return nothing;
  const cause = s.lines.slice(0, at).findLast((l) => l.kind !== 'verdict.changed');
  return html`<p class="decided">
    Decided at ${clock(Number(line['t_ns']))}, event ${line.seq}${cause ? by(cause) : nothing}.
  </p>`;
}

function by(cause: Line): TemplateResult {
  return html`, by <code>${cause.kind}</code> (event ${cause.seq}; <a href="/guide/events">what that is</a>)`;
}
