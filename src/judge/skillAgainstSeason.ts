import { keepSightings } from '../align/keepVisits.js';
import type { Aligned } from '../align/types.js';
import { formsOf } from '../fit/warmStart.js';
import { fitLevels } from '../fit/fitLevels.js';
import type { LevelFit } from '../fit/types.js';
import { quantile, quantileSorted } from '../kernel/quantile.js';
import { createRandom } from '../kernel/random.js';
import type { GaugeRecord } from '../series/gaugeRecord.js';
import { VERDICT } from '../series/visits.js';
import { gridPoint, visitX } from './gridPoint.js';
import { leaveFloodOut } from './leaveFloodOut.js';
import { usualReadings } from './seasonReading.js';
import { expandedTail, floodScores } from './skill.js';
import type { Interval } from './types.js';

/**
 * Half way from the usual reading to the real one: little is lost by it whether the gauge knows the creek well or knows the season better.
 */
const HALF_WAY = 0.5;
const RESAMPLES = 2000;

/** What a gauge knows beyond its own season. */
export interface SeasonSkill {
  /** 1 - score/score of the chart by the usual reading of the season. */
  readonly value: number;
  /** 90 % interval from resampling floods: 95 % sure to be above its lower end. */
  readonly i90: Interval;
}

/**
 * Ranked probability skill of the gauge against its own calendar. Two charts are fitted to the log: one by what the gauge usually reads on
 * that day of the year (`usualReadings`), one by a reading half way from there to the real one; both leave floods out by importance
 * weights. A gauge that shares the season with the creek and nothing else brings its own weather into the second, and loses or gains
 * nothing. The month base can't tell that: within its three months a melt rises and ends, and a gauge on any river of the region says
 * when.
 *
 * @param way fit of the better way of reading; its middle lag and storage are the real reading.
 * @param options.record the gauge's record.
 * @returns null without verdicts, draws, or a season (a record whose usual reading never moves).
 */
export function skillAgainstSeason(
  { fit, aligned }: { readonly fit: LevelFit; readonly aligned: Aligned },
  { record, seed, draws = 500 }: { record: GaugeRecord; seed: number; draws?: number },
): SeasonSkill | null {
  if (fit.draws.count === 0) return null;
  const point = gridPoint(aligned, {
    lagHours: quantile(fit.draws.lagHours, 0.5),
    storageHours: quantile(fit.draws.storageHours, 0.5),
  });
  const usual = usualReadings(record, aligned.visitTimesMs);
  const half = usual.map((s, visit) => {
    const x = visitX(aligned, { visit, point });
    return x === x ? s + HALF_WAY * (x - s) : s;
  });
  // A gauge that knows little must not call what it does not know gross errors.
  const { grossClasses } = formsOf(fit);
  const scores = [usual, half].map((readings) => {
    const one = readBy(aligned, readings);
    const { 'one-reading': oneReading } = fitLevels(one, {
      modes: ['one-reading'],
      link: fit.link,
      leadHours: 0,
      draws,
      lasting: false,
      forms: { grossClasses },
      seed,
    });
    return oneReading.draws.count === 0 ? null : floodScores(leaveFloodOut(oneReading, one)).chart;
  });
  const [season, gauge] = scores;
  if (season === null || gauge === null || season.length === 0) return null;
  const skill = (floods: Int32Array) => {
    let ours = 0;
    let theirs = 0;
    for (const f of floods) {
      ours += gauge[f];
      theirs += season[f];
    }
    return 1 - ours / theirs;
  };
  const whole = Int32Array.from(season, (_, f) => f);
  const random = createRandom(seed);
  const values = Float64Array.from({ length: RESAMPLES }, () =>
    skill(whole.map(() => random.integer(whole.length))),
  ).sort();
  // Half of the widened 80 % tail: a shade narrower than the widened 90 % one, and the same for 40 floods.
  const tail = whole.length < 2 ? NaN : expandedTail(whole.length) / 2;
  return {
    value: skill(whole),
    i90:
      tail === tail
        ? ([quantileSorted(values, tail), quantileSorted(values, 1 - tail)] as const)
        : ([null, null] as const),
  };
}

/**
 * The verdicts alone, with these readings at their exact time, lag and storage 0, in steady water. A visit without a reading stays
 * unmatched.
 */
function readBy(aligned: Aligned, readings: Float64Array): Aligned {
  const n = aligned.visitIds.length;
  const one: Aligned = {
    ...aligned,
    lagsHours: Float64Array.of(0),
    storagesHours: Float64Array.of(0),
    nodeStart: Int32Array.from({ length: n + 1 }, (_, i) => i),
    nodeWeight: new Float64Array(n).fill(1),
    x: readings,
    slope: new Float64Array(n),
    shift: new Float64Array(aligned.sightingRow.length),
  };
  return keepSightings(one, ({ feature }) => feature === VERDICT);
}
