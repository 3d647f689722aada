import { setTimeout as wait } from 'node:timers/promises';

/** What a request may cost. */
export interface FetchLimits {
  /** For one attempt, its whole answer included. */
  readonly timeoutMs: number;
  /** After unpacking. */
  readonly mostBytes: number;
  readonly attempts: number;
  /** First pause between attempts; it doubles. */
  readonly pauseMs: number;
  /** A service that asks to wait longer is left alone. */
  readonly longestPauseMs: number;
}

export const FETCH_LIMITS: FetchLimits = Object.freeze({
  timeoutMs: 60_000,
  mostBytes: 50_000_000,
  attempts: 4,
  pauseMs: 1000,
  longestPauseMs: 120_000,
});

/** What a service told of its answer, so that the same one is not sent twice. */
export interface Validators {
  readonly etag?: string;
  readonly lastModified?: string;
}

export type Fetched =
  { readonly kind: 'unchanged' } | ({ readonly kind: 'answer'; readonly bytes: Uint8Array } & Validators);

/** A request that came to nothing; its message names the host and never the address. */
export class FetchFailed extends Error {
  override readonly name = 'FetchFailed';
}

/** A fault that another attempt may mend; `afterMs` where the service said when. */
class Passing extends FetchFailed {
  constructor(
    message: string,
    readonly afterMs?: number,
  ) {
    super(message);
  }
}

const REDIRECTS = new Set([301, 302, 303, 307, 308]);
const MOST_REDIRECTS = 3;

/**
 * The answer of a service. Tries again, with pauses that double or as long as the service asks for, after a broken or late answer, 429 and
 * 5xx. Redirects are followed within the same origin only: a key that was meant for one host goes to no other.
 *
 * @param headers sent as they are. @param options.known what an earlier answer told of itself.
 * @throws FetchFailed with host and reason
 * @example await fetchText(new URL('https://levels.example/weir.csv'), { headers: {} })
 */
export async function fetchText(
  url: URL,
  {
    headers,
    known = {},
    limits = FETCH_LIMITS,
  }: { headers: Readonly<Record<string, string>>; known?: Validators; limits?: FetchLimits },
): Promise<Fetched> {
  const sent = {
    ...headers,
    ...(known.etag !== undefined && { 'if-none-match': known.etag }),
    ...(known.lastModified !== undefined && { 'if-modified-since': known.lastModified }),
  };
  for (let attempt = 1; ; attempt++) {
    try {
      return await once(url, sent, limits);
    } catch (error) {
      if (!(error instanceof Passing)) throw error;
      if (attempt === limits.attempts) throw new FetchFailed(`${error.message} (${attempt} attempts)`);
      const pauseMs = error.afterMs ?? limits.pauseMs * 2 ** (attempt - 1);
      if (pauseMs > limits.longestPauseMs)
        throw new FetchFailed(`${error.message} and asks to wait ${Math.round(pauseMs / 1000)} s; try again later`);
      await wait(pauseMs);
    }
  }
}

async function once(start: URL, headers: Readonly<Record<string, string>>, limits: FetchLimits): Promise<Fetched> {
  const signal = AbortSignal.timeout(limits.timeoutMs);
  try {
    let url = start;
    for (let hop = 0; hop <= MOST_REDIRECTS; hop++) {
      const response = await fetch(url, { headers, redirect: 'manual', signal });
      if (!REDIRECTS.has(response.status)) return await answerOf(response, start.host, limits);
      await response.body?.cancel();
      url = new URL(response.headers.get('location') ?? '', url);
      if (url.origin !== start.origin)
        throw new FetchFailed(`${start.host} sends elsewhere, to ${url.host}: not followed`);
    }
    throw new FetchFailed(`${start.host} redirects in a circle`);
  } catch (error) {
    if (error instanceof FetchFailed) throw error;
    const late = (error as Error).name === 'TimeoutError';
    throw new Passing(
      late ? `${start.host} did not answer in ${limits.timeoutMs / 1000} s` : `${start.host}: the connection broke`,
    );
  }
}

async function answerOf(response: Response, host: string, limits: FetchLimits): Promise<Fetched> {
  const { status } = response;
  if (status === 304) return { kind: 'unchanged' };
  if (status === 429 || status >= 500)
    throw new Passing(`${host} answers ${status}`, retryAfterMs(response.headers.get('retry-after')));
  if (status !== 200) throw new FetchFailed(`${host} answers ${status}`);
  const bytes = await bytesOf(response, host, limits.mostBytes);
  const [etag, lastModified] = [response.headers.get('etag'), response.headers.get('last-modified')];
  return {
    kind: 'answer',
    bytes,
    ...(etag !== null && { etag }),
    ...(lastModified !== null && { lastModified }),
  };
}

/** Counted while it comes in: what is packed small may be large. */
async function bytesOf(response: Response, host: string, most: number): Promise<Uint8Array> {
  const pieces: Uint8Array[] = [];
  let size = 0;
  const body = response.body as AsyncIterable<Uint8Array> | null;
  for await (const piece of body ?? []) {
    size += piece.length;
    if (size > most) throw new FetchFailed(`${host} sends more than ${most} bytes: ask for a shorter time`);
    pieces.push(piece);
  }
  return Buffer.concat(pieces);
}

/** Seconds or a date. */
function retryAfterMs(text: string | null): number | undefined {
  if (text === null) return undefined;
  const ms = /^\d+$/.test(text.trim()) ? 1000 * Number(text) : Date.parse(text) - Date.now();
  return Number.isFinite(ms) ? Math.max(0, ms) : undefined;
}
