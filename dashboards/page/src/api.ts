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

// answered is how long an answer may take, ms. Behind a sleep, or in another network, connections that never
// say they are over would hold up all that is asked later: a browser has six for a server.
const answered = 15_000;

// asked is what the server answers, or an error that says in words that it does not.
async function asked(path: string, how: RequestInit): Promise<Response> {
  try {
    return await fetch(path, how);
  } catch (e) {
    if (e instanceof DOMException && e.name === 'AbortError') throw e; // nobody wants it any more
    throw new Error('benchproof does not answer');
  }
}

function bounded(most: number, signal?: AbortSignal): AbortSignal {
  const timeout = AbortSignal.timeout(most);
  return signal ? AbortSignal.any([signal, timeout]) : timeout;
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
  return answer<T>(await asked(path, {signal: bounded(answered, signal)}));
}

// insist asks until the server answers: a second later where it does not. What is refused is not asked again.
export async function insist<T>(ask: () => Promise<T>): Promise<T> {
  for (;;) {
    try {
      return await ask();
    } catch (e) {
      if (e instanceof Refused) throw e;
      await new Promise((wait) => setTimeout(wait, 1000));
    }
  }
}

// text has another bound, ms, where the answer is made first.
export async function text(path: string, most = answered): Promise<string> {
  return plain(await asked(path, {signal: bounded(most)}));
}

export async function post<T>(path: string, body: unknown): Promise<T> {
  return answer<T>(
    await asked(path, {
      method: 'POST',
      headers: {'Content-Type': 'application/json'},
      body: JSON.stringify(body),
      signal: bounded(answered),
    }),
  );
}
