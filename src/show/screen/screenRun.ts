import { createHash } from 'node:crypto';
import { chartCreek } from '../../chart/chartCreek.js';
import { isUsableGrade } from '../../judge/grade.js';
import { benjaminiHochberg } from '../../judge/screen/falseDiscovery.js';
import { screenPair, type PairScore, type Verdicts } from '../../judge/screen/screenPair.js';
import { VERSION } from '../../series/version.js';
import { VERDICT, type Visit } from '../../series/visits.js';
import type { ScreenProblem, ScreenRow } from '../../tell/screenDocument.js';
import { creekOfRun, type Place, type Screening, type ScreenRun, type Station } from './readScreen.js';

/** Gauges of a run that get a full fit at most, the likeliest first. */
const MOST_FITTED = 4;

export interface ScreenOptions {
  /** Share of the passing gauges that may be there by chance. */
  readonly rate: number;
  readonly seed: number;
  /** Whether what passes is fitted. */
  readonly fit: boolean;
}

/** What came of one run: a task's whole answer. */
export interface RunScreen {
  readonly kind: 'run-screen';
  readonly rows: readonly ScreenRow[];
  readonly problem: ScreenProblem | null;
}

/** The name of a task by everything that its answer depends on. */
export function taskKey(run: ScreenRun, screening: Screening, options: ScreenOptions): string {
  const { log, ...said } = run;
  return createHash('sha256')
    .update(JSON.stringify([VERSION, said, options, screening.gaugesDigest]))
    .update(log.bytes)
    .digest('hex')
    .slice(0, 32);
}

/** One run against every gauge: the first look, and a full fit of the gauges that pass it. */
export async function screenRun(
  run: ScreenRun,
  screening: Screening,
  { stations, ...options }: ScreenOptions & { readonly stations: (at: number) => Station | undefined },
): Promise<RunScreen> {
  const { visits, problem } = creekOfRun(run, []);
  if (problem !== undefined) return { kind: 'run-screen', rows: [], problem: { run: run.id, problem } };
  const verdicts = verdictsOf(visits);
  const scores = screening.gauges.map(({ gauge }, g): PairScore => {
    const hourly = stations(g)?.hourly;
    return hourly === undefined
      ? NOTHING
      : screenPair(verdicts, hourly, { seed: options.seed, label: `${run.id} ${gauge.id}` });
  });
  const q = benjaminiHochberg(scores.map(({ p }) => p));
  const passed = [...q.keys()]
    .filter((g) => q[g]! <= options.rate)
    .sort((a, b) => scores[a]!.p - scores[b]!.p || a - b);
  const fitted = options.fit ? await fits(run, screening, { stations, at: passed.slice(0, MOST_FITTED), options }) : [];
  const rows = screening.gauges.map(({ gauge, place }, g): ScreenRow => {
    const { looks, rho, lagHours, p } = scores[g]!;
    const fit = fitted.find((one) => one.gauge === gauge.id);
    return {
      run: run.id,
      runName: run.name,
      gauge: gauge.id,
      gaugeName: gauge.name,
      distanceKm: distanceKm(run.place, place),
      looks,
      rho: rho === rho ? rho : null,
      lagHours: lagHours === lagHours ? lagHours : null,
      p,
      q: q[g]!,
      passed: passed.includes(g),
      grade: fit?.grade ?? null,
      skill: fit?.skill ?? null,
      skillI80: fit?.skillI80 ?? [null, null],
      instruction: fit?.instruction ?? null,
      recommended: fit !== undefined && fitted[0] === fit && isUsableGrade(fit.grade),
    };
  });
  return { kind: 'run-screen', rows, problem: null };
}

const NOTHING: PairScore = { looks: 0, rho: NaN, lagHours: NaN, p: 1 };

function verdictsOf(visits: readonly Visit[]): Verdicts {
  const seen = visits
    .flatMap(({ sightings }) => sightings.filter(({ feature }) => feature === VERDICT))
    .sort((a, b) => a.timeMs - b.timeMs);
  return { timesMs: seen.map(({ timeMs }) => timeMs), classIndex: seen.map(({ classIndex }) => classIndex) };
}

/** The charts of a run by some gauges, the best one first, judged by one fit each. */
async function fits(
  run: ScreenRun,
  { gauges }: Screening,
  {
    stations,
    at,
    options,
  }: { stations: (at: number) => Station | undefined; at: readonly number[]; options: ScreenOptions },
) {
  if (at.length === 0) return [];
  const { creek, visits } = creekOfRun(
    run,
    at.map((g) => gauges[g]!.gauge),
  );
  const input = {
    kind: 'creek-input' as const,
    creek,
    visits,
    records: at.map((g) => stations(g)!.record),
    issues: [],
    files: [],
    counts: { sightingRows: 0, sightingsUsed: 0, gaugeRows: 0, gaugeValuesUsed: 0 },
  };
  const { chart } = await chartCreek(input, { depth: 'quick', seed: options.seed });
  return chart.runs[0]!.gauges.map(({ gauge, trust, level }) => ({
    gauge: gauge.id,
    grade: trust.grade,
    skill: trust.skill?.againstFrequencies.value ?? null,
    skillI80: trust.skill?.againstFrequencies.i80 ?? NO_ENDS,
    instruction: level?.howToRead ?? null,
  }));
}

const NO_ENDS = [null, null] as const;

const EARTH_KM = 6371;

/** Along a great circle of a sphere of 6371 km. */
function distanceKm(a: Place | undefined, b: Place | undefined): number | null {
  if (a === undefined || b === undefined) return null;
  const rad = Math.PI / 180;
  const [dLat, dLon] = [(b.latitude - a.latitude) * rad, (b.longitude - a.longitude) * rad];
  const h = Math.sin(dLat / 2) ** 2 + Math.cos(a.latitude * rad) * Math.cos(b.latitude * rad) * Math.sin(dLon / 2) ** 2;
  return 2 * EARTH_KM * Math.asin(Math.min(1, Math.sqrt(h)));
}
