import { chartCreek } from '../../src/chart/chartCreek.js';
import { isUsableGrade } from '../../src/judge/grade.js';
import type { Creek, Run } from '../../src/series/creek.js';
import type { GaugeRecord } from '../../src/series/gaugeRecord.js';
import { VERDICT, type Visit } from '../../src/series/visits.js';
import { benjaminiHochberg, SCREEN_RATE } from '../../src/judge/screen/falseDiscovery.js';
import { hourlyReadings } from '../../src/judge/screen/hourlyReadings.js';
import { screenPair } from '../../src/judge/screen/screenPair.js';
import type { Season } from '../simulateSeasons/seasonWorld.js';
import { countryGauge, countryLog } from './screenWorld.js';

interface RunTally {
  readonly visits: number;
  readonly falsePass: boolean;
  readonly falselyRecommended: boolean;
  readonly smallP: number;
  readonly found: boolean;
  readonly others: number;
}

/**
 * Runs screened against gauges of which none, or exactly one, tells of them: how often a gauge that says nothing passes, and how often the
 * one that does.
 */
export async function tallyScreen(
  runs: number,
  {
    gauges,
    season,
    firstSeed,
    onRun,
  }: { gauges: number; season: Season; firstSeed: number; onRun?: (done: number) => void },
) {
  const records = Array.from({ length: gauges }, (_, g) => countryGauge(`g${g}`, { season, seed: firstSeed }));
  const laid = records.map(hourlyReadings);
  const byVisits = [25, 40, 80];
  const found: RunTally[] = [];
  for (let r = 0; r < runs; r++) {
    const seed = firstSeed + 1 + r;
    const visits = byVisits[r % byVisits.length]!;
    const screened = (by?: number) => {
      const log = countryLog(`${r} ${by ?? ''}`, {
        season,
        seed,
        visits,
        ...(by !== undefined && { by: records[by]! }),
      });
      const p = laid.map((readings, g) => screenPair(log, readings, { seed, label: `g${g}` }).p);
      const q = benjaminiHochberg(p);
      return { log, p, passed: [...q.keys()].filter((g) => q[g]! <= SCREEN_RATE) };
    };
    const alone = screened();
    const [right] = [r % gauges];
    const told = screened(right);
    onRun?.(r + 1);
    found.push({
      visits,
      falsePass: alone.passed.length > 0,
      falselyRecommended: await anyUsable(
        alone.log,
        alone.passed.slice(0, 4).map((g) => records[g]!),
      ),
      smallP: alone.p.filter((p) => p <= 0.05).length / gauges,
      found: told.passed.includes(right),
      others: told.passed.filter((g) => g !== right).length / Math.max(1, told.passed.length),
    });
  }
  const mean = (values: readonly number[]) => values.reduce((a, b) => a + b, 0) / values.length;
  const share = (of: (one: (typeof found)[number]) => boolean, among = found) =>
    mean(among.map((one) => Number(of(one))));
  return {
    runs,
    gauges,
    season,
    /** Runs of which no gauge tells, where one passed all the same. */
    falselyPassed: share((one) => one.falsePass),
    /** The same after the fit of what passed: a gauge was recommended. */
    falselyRecommended: share((one) => one.falselyRecommended),
    /** Of all such pairs the share with p at most 0.05. */
    smallP: mean(found.map((one) => one.smallP)),
    /** Runs of which one gauge tells, where it passed; by number of visits. */
    found: Object.fromEntries(
      byVisits.map((n) => [
        n,
        share(
          (one) => one.found,
          found.filter(({ visits }) => visits === n),
        ),
      ]),
    ),
    /** Among the gauges that passed then, the share that says nothing. */
    falseDiscoveries: mean(found.map((one) => one.others)),
  };
}

/** Whether the fit of a gauge that passed gives a grade that somebody may plan with. */
async function anyUsable(
  { timesMs, classIndex, classes }: ReturnType<typeof countryLog>,
  records: readonly GaugeRecord[],
): Promise<boolean> {
  if (records.length === 0) return false;
  const run: Run = { id: 'main', name: 'main', classes, features: [] };
  const gauges = records.map(({ gauge, name, parameter, unit }) => ({
    ...{ id: gauge, name, parameter, unit, files: [], format: 'delimited' as const },
  }));
  const visits = timesMs.map((timeMs, v): Visit => {
    const seen = { row: v + 2, timeMs, giveOrTakeMin: 0, run: run.id, feature: VERDICT, observer: 'Ann', note: '' };
    return { id: `v${v}`, run: run.id, timeMs, sightings: [{ ...seen, classIndex: classIndex[v]!, value: NaN }] };
  });
  const creek: Creek = { schema: 1, name: 'country', timeZone: 'UTC', runs: [run], gauges };
  const counts = { sightingRows: 0, sightingsUsed: 0, gaugeRows: 0, gaugeValuesUsed: 0 };
  const input = { kind: 'creek-input' as const, creek, visits, records, issues: [], files: [], counts };
  const { chart } = await chartCreek(input, { depth: 'quick', seed: 1 });
  return chart.runs[0]!.gauges.some(({ trust }) => isUsableGrade(trust.grade));
}
