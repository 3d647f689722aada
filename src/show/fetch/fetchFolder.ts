import { createHash } from 'node:crypto';
import { readFileSync, realpathSync } from 'node:fs';
import { basename, dirname, join, sep } from 'node:path';
import { readGauge } from '../../read/readGauge.js';
import type { NamedFile } from '../../read/types.js';
import type { Creek, Gauge, GaugeFetch } from '../../series/creek.js';
import type { GaugeRecord } from '../../series/gaugeRecord.js';
import { WrongUse } from '../cli/exitCodes.js';
import { loadCreekFolder } from '../creekFolder.js';
import { writeFileSet } from '../write/writeFileSet.js';
import { FETCH_LIMITS, FetchFailed, fetchText, type FetchLimits, type Validators } from './fetchText.js';

const HOUR = 3_600_000;
/** Asked for again behind the last reading of the other files, so that the two can be compared. */
const OVERLAP_HOURS = 48;
/** Without any reading yet. */
const FIRST_DAYS = 30;
/** Readings of one time that differ: from this share on, and from so many on, it is another series. */
const OTHER_SERIES = { share: 0.5, from: 10 };

/** What came of one gauge. */
export interface GaugeFetched {
  readonly gauge: string;
  readonly name: string;
  readonly host: string;
  /** `written`: the file is new; `unchanged`: the service has nothing newer; `failed`: nothing was touched, `why` says the reason. */
  readonly kind: 'written' | 'unchanged' | 'failed';
  readonly file: string;
  /** Readings in the answer, those not known before, and those that differ from what was known. */
  readonly readings: number;
  readonly added: number;
  readonly revised: readonly { readonly timeMs: number; readonly before: number; readonly after: number }[];
  readonly lastMs: number | null;
  readonly why: string | null;
}

/**
 * Fetches newer readings for every gauge of a folder that says where they come from, one after the other, and keeps each whole answer in
 * its own file. A gauge that fails leaves its file as it was and does not stop the others.
 *
 * @param options.gauges only these. @param options.presentMs UTC ms. @param options.env where `{env:NAME}` is looked up.
 * @throws WrongUse where creek.json can't be read or no gauge says where its readings come from
 */
export async function fetchFolder(
  folder: string,
  {
    gauges,
    presentMs,
    env = process.env,
    limits = FETCH_LIMITS,
  }: {
    gauges?: readonly string[] | undefined;
    presentMs: number;
    env?: Readonly<Record<string, string | undefined>>;
    limits?: FetchLimits;
  },
): Promise<readonly GaugeFetched[]> {
  const { creek } = loadCreekFolder(folder);
  if (creek === undefined) throw new WrongUse(`creek.json can't be read; see: sightstage check ${folder}`);
  const asked = creek.gauges.filter(({ id, fetch }) => fetch !== undefined && (gauges?.includes(id) ?? true));
  if (asked.length === 0)
    throw new WrongUse('no gauge of creek.json says where to fetch readings from (gauges[].fetch)');
  const done: GaugeFetched[] = [];
  for (const gauge of asked) done.push(await fetchGauge(gauge, { folder, creek, presentMs, env, limits }));
  return done;
}

interface Where {
  readonly folder: string;
  readonly creek: Creek;
  readonly presentMs: number;
  readonly env: Readonly<Record<string, string | undefined>>;
  readonly limits: FetchLimits;
}

async function fetchGauge(gauge: Gauge, where: Where): Promise<GaugeFetched> {
  const plan = gauge.fetch!;
  const host = new URL(plan.address.replace(/\{[^}]*\}/g, '0')).host;
  const none = {
    gauge: gauge.id,
    name: gauge.name,
    host,
    file: plan.file,
    readings: 0,
    added: 0,
    revised: [],
    lastMs: null,
  };
  try {
    return { ...none, ...(await fetchInto(gauge, plan, where)), why: null };
  } catch (error) {
    if (!(error instanceof FetchFailed)) throw error;
    return { ...none, kind: 'failed', why: error.message };
  }
}

async function fetchInto(
  gauge: Gauge,
  plan: GaugeFetch,
  { folder, creek, presentMs, env, limits }: Where,
): Promise<Pick<GaugeFetched, 'kind' | 'readings' | 'added' | 'revised' | 'lastMs'>> {
  const files = gauge.files.flatMap((name) => readIfThere(folder, name));
  const recordOf = (own: readonly NamedFile[]) =>
    own.length === 0
      ? undefined
      : readGauge({ ...gauge, files: own.map(({ name }) => name) }, own, creek.timeZone).record;
  const others = recordOf(files.filter(({ name }) => name !== plan.file));
  const kept = recordOf(files.filter(({ name }) => name === plan.file));
  const fromMs =
    (lastOf(others) ?? presentMs - FIRST_DAYS * 24 * HOUR) - (others === undefined ? 0 : OVERLAP_HOURS * HOUR);
  const url = addressOf(plan, { fromMs, toMs: Math.ceil(presentMs / HOUR) * HOUR, env });
  const address = createHash('sha256').update(url.href).digest('hex');
  const told = toldBefore(folder, plan.file);
  const headers = plan.header === undefined ? {} : { [plan.header.name]: filled(plan.header.value, env) };
  const known = told?.address === address && kept !== undefined ? told.validators : {};
  const answer = await fetchText(url, { headers, known, limits });
  if (answer.kind === 'unchanged')
    return { kind: 'unchanged', readings: 0, added: 0, revised: [], lastMs: lastOf(kept) };
  const { bytes, ...validators } = answer;
  const fresh = readGauge({ ...gauge, files: [plan.file] }, [{ name: plan.file, bytes }], creek.timeZone);
  if (fresh.record === undefined || readings(fresh.record).length === 0) {
    const fault = fresh.issues.find(({ severity }) => severity !== 'note');
    // What was found is not repeated: an answer may show the address, and with it a key.
    const why = fault === undefined ? '' : ` (${fault.code}; expected ${fault.expected})`;
    throw new FetchFailed(`the answer holds no reading of gauge '${gauge.id}'${why}; nothing was replaced`);
  }
  refuseOutside(folder, plan.file);
  const change = compare(fresh.record, { others, kept });
  await writeFileSet(
    join(folder, dirname(plan.file)),
    new Map<string, string | Uint8Array>([
      [basename(plan.file), bytes],
      [toldName(plan.file), JSON.stringify({ address, validators })],
    ]),
  );
  return { kind: 'written', readings: fresh.record.timesMs.length, ...change, lastMs: lastOf(fresh.record) };
}

/** What an answer brings; refuses one that is another series or would lose what is kept. */
function compare(
  fresh: GaugeRecord,
  { others, kept }: { others: GaugeRecord | undefined; kept: GaugeRecord | undefined },
): Pick<GaugeFetched, 'added' | 'revised'> {
  const known = new Map([...readings(others), ...readings(kept)]);
  const both = readings(fresh).filter(([timeMs]) => known.has(timeMs));
  const revised = both
    .filter(([timeMs, after]) => known.get(timeMs) !== after)
    .map(([timeMs, after]) => ({ timeMs, before: known.get(timeMs)!, after }));
  if (both.length >= OTHER_SERIES.from && revised.length > OTHER_SERIES.share * both.length)
    throw new FetchFailed(
      `${revised.length} of ${both.length} readings differ from those known: another series or unit? Nothing was replaced`,
    );
  const times = readings(fresh).map(([timeMs]) => timeMs);
  const [first, last] = [times[0]!, times[times.length - 1]!];
  const have = new Map([...readings(fresh), ...readings(others)]);
  const lost = readings(kept).filter(([timeMs]) => (timeMs < first || timeMs > last) && !have.has(timeMs));
  if (lost.length > 0)
    throw new FetchFailed(
      `the answer is shorter than what is kept and would lose ${lost.length} readings: ` +
        'try again, or rename the kept file and list both under files',
    );
  return { added: fresh.timesMs.length - both.length, revised };
}

/** A folder of the creek that is a link to elsewhere is not written through. */
function refuseOutside(folder: string, file: string): void {
  const [root, target] = [realpathSync(folder), realpathSync(join(folder, dirname(file)))];
  if (target !== root && !target.startsWith(root + sep))
    throw new FetchFailed(`${dirname(file)} leads out of the creek folder; nothing was written`);
}

function readings(record: GaugeRecord | undefined): readonly (readonly [timeMs: number, value: number])[] {
  if (record === undefined) return [];
  return Array.from(record.timesMs, (timeMs, i) => [timeMs, record.values[i]!] as const).filter(([, v]) => v === v);
}

function lastOf(record: GaugeRecord | undefined): number | null {
  return readings(record).at(-1)?.[0] ?? null;
}

function readIfThere(folder: string, name: string): readonly NamedFile[] {
  try {
    return [{ name, bytes: readFileSync(join(folder, name)) }];
  } catch {
    return [];
  }
}

/** The address with its times and keys in. @throws FetchFailed for a key that the environment does not have */
function addressOf(
  { address, times = 'time' }: GaugeFetch,
  { fromMs, toMs, env }: { fromMs: number; toMs: number } & Pick<Where, 'env'>,
): URL {
  const iso = (timeMs: number) => `${new Date(timeMs).toISOString().slice(0, 19)}Z`;
  const write = {
    time: iso,
    day: (ms: number) => iso(ms).slice(0, 10),
    seconds: (ms: number) => `${Math.floor(ms / 1000)}`,
  }[times];
  const withTimes = address
    .replaceAll('{from}', encodeURIComponent(write(fromMs)))
    .replaceAll('{to}', encodeURIComponent(write(toMs)));
  return new URL(filled(withTimes, env, encodeURIComponent));
}

function filled(text: string, env: Where['env'], encode = (value: string) => value): string {
  return text.replace(/\{env:(\w+)\}/g, (_, name: string) => {
    const value = env[name];
    if (value === undefined || value === '')
      throw new FetchFailed(`the environment has no ${name}, which creek.json asks for`);
    return encode(value);
  });
}

/** Hidden, beside the file: what the service told of its last answer, and a hash of the address it was for. */
const toldName = (file: string) => `.fetched-${basename(file)}.json`;

function toldBefore(
  folder: string,
  file: string,
): { readonly address: string; readonly validators: Validators } | undefined {
  try {
    return JSON.parse(readFileSync(join(folder, dirname(file), toldName(file)), 'utf8')) as never;
  } catch {
    return undefined;
  }
}
