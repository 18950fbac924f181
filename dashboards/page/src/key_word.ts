// The key word of a prompt, over the whole width: it is read from two metres away.
import {html, nothing, svg, type TemplateResult} from './html';

const widths = new Map<string, number>();
const pen = document.createElement('canvas').getContext('2d');

// widthOf is how wide a text is in the letters of a key word, at a height of 100.
function widthOf(text: string): number {
  let width = widths.get(text);
  if (width === undefined) {
    if (pen) pen.font = 'bold 100px system-ui, sans-serif';
    width = Math.max(pen?.measureText(text).width ?? text.length * 62, 240);
    widths.set(text, width);
  }
  return width;
}

export function keyWord(key: string): TemplateResult | typeof nothing {
  if (key === '') return nothing;
  const width = widthOf(key);
  return html`<svg class="key" viewBox=${`0 0 ${Math.ceil(width * 1.04)} 118`} role="img" aria-label=${key}>
    ${svg`<text x="50%" y="92" text-anchor="middle" font-size="100" textLength=${width} lengthAdjust="spacingAndGlyphs">${key}</text>`}
  </svg>`;
}
