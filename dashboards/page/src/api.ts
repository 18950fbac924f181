// Questions to the server beside the one stream, and what is to be changed.

// Refused is an answer that says in a sentence why something was not done.
export class Refused extends Error {
  constructor(
    readonly code: number,
    sentence: string,
  ) {
    super(sentence);
  }
}

// plain is the text of an answer, or throws why there is none.
async function plain(response: Response): Promise<string> {
  const text = await response.text();
  if (response.ok) return text;
  let sentence = `the server refused (${response.status})`;
  try {
    sentence = (JSON.parse(text) as {error?: string}).error ?? sentence;
  } catch {
    // It is no object of ours: the code says it.
  }
  throw new Refused(response.status, sentence);
}

async function answer<T>(response: Response): Promise<T> {
  const text = await plain(response);
  return (text === '' ? undefined : JSON.parse(text)) as T;
}

export async function get<T>(path: string, signal?: AbortSignal): Promise<T> {
  return answer<T>(await fetch(path, signal ? {signal} : {}));
}

export async function text(path: string): Promise<string> {
  return plain(await fetch(path));
}

export async function post<T>(path: string, body: unknown): Promise<T> {
  return answer<T>(
    await fetch(path, {method: 'POST', headers: {'Content-Type': 'application/json'}, body: JSON.stringify(body)}),
  );
}
