// What the signs of a strip mean.
import {html, type TemplateResult} from './html';

const signs: [string, string][] = [
  ['disc with a tick', 'a claim is seen right'],
  ['triangle with !', 'a claim is seen wrong'],
  ['square with a cross', 'the signal is lost, or the bus is silent'],
  ['diamond', 'it is back'],
  ['flag', 'a mark'],
  ['arrow', 'a drill'],
  ['dot', 'something else; the table below names it'],
  ['hatched', 'nothing was heard'],
  ['bands behind a channel', 'the windows of the modes, with their names'],
  ['a row of one line', 'it rests; the number is its width in µs'],
];

export function stripKey(): TemplateResult {
  return html`<details class="strip-table">
    <summary>What the signs mean</summary>
    <table>
      <tbody>
        ${signs.map(([sign, means]) => html`<tr><th scope="row">${sign}</th><td>${means}</td></tr>`)}
      </tbody>
    </table>
  </details>`;
}
