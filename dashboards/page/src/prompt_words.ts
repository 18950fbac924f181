// Prompts in the words of a page and of a voice; the server's are those of a terminal.

// onPage is what a prompt says where a button stands for the key of a terminal.
export function onPage(text: string): string {
  return text.replace(/\bEnter if\b/, 'Done if').replace('; q if not', '; End drill if not').replaceAll('an Enter', 'a touch on Done').replaceAll('press Enter', 'press Done');
}

// spoken is a prompt as it is said: without what stands in brackets at its end.
export function spoken(text: string): string {
  return text.replace(/ \([^()]*\)$/, '');
}
