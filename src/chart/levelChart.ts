import type { Aligned } from '../align/types.js';
import type { FittedFeature, LevelFit } from '../fit/types.js';
import { VERDICT } from '../series/visits.js';
import { wayDraws } from './day/onTheWay.js';
import { edges } from './edges.js';
import { estimate } from '../kernel/estimate.js';
import { howToReadFit } from './howToRead.js';
import { oddsTable } from './oddsTable.js';
import { ratingSummaries } from './ratingSummary.js';
import { seenRange } from './seenRange.js';
import { sureRanges } from './sureRange.js';
import type { LevelChart } from './types.js';

/**
 * Everything a chart says about one way of reading the gauge, from the draws of its fit.
 *
 * All numbers are in the gauge's unit unless a name says otherwise: edges with median, 80 % and 95 % interval, odds of each class over
 * gauge values, sure ranges, the lag, how to read the gauge, mismatch, blur and observers' biases (ln units).
 *
 * @param fit posterior draws (D > 0) with a verdict; check `fit.draws.count` first: a fit that ended as `too-few-rows`,
 *   `constant-gauge`, `singular` or `iteration-limit` has none, and its `statusSentence` is all there is to show.
 * @param aligned the visits that the fit was made from.
 * @param options.values number of gauge values in the odds table; default 121.
 * @returns a frozen chart; ranges and intervals that the data can't give are empty or null, never guessed.
 * @throws RangeError for a fit without draws, without a verdict, or without a visit matched at the chart's lag and storage.
 * @example const chart = levelChart(fitLevels(aligned, { mode: 'one-reading' }), aligned);
 */
export function levelChart(fit: LevelFit, aligned: Aligned, { values = 121 }: { values?: number } = {}): LevelChart {
  if (!(fit.draws.count > 0))
    throw new RangeError(
      `levelChart: the fit has no draws (status ${fit.status}); show its statusSentence instead of a chart`,
    );
  const { reading } = fit;
  const range = seenRange(aligned, reading);
  if (range === null)
    throw new RangeError(
      `levelChart: no visit has a reading at lag ${reading.lagHours} h and storage ${reading.storageHours} h; ` +
        'give the aligned visits the fit was made from',
    );
  const seen = Object.freeze({ from: fit.offset + Math.exp(range.low), to: fit.offset + Math.exp(range.high) });
  const allEdges = edges(fit, aligned);
  const odds = oddsTable(fit, aligned, { reading, values });
  const way = wayDraws(fit);
  const limbHours = fit.limbKept ? estimate(fit.draws.limb) : undefined;
  return Object.freeze({
    way: fit.mode === 'effective' ? ('effective' as const) : ('one-reading' as const),
    leadHours: fit.leadHours,
    link: fit.link,
    status: fit.status,
    statusSentence: fit.statusSentence,
    howToRead: howToReadFit(fit),
    reading,
    edges: verdictFirst(allEdges),
    ratings: ratingSummaries(fit, { gaugeValues: odds.gaugeValues }),
    odds,
    sureRanges: sureRanges(odds, {
      seen,
      edges: allEdges.filter((e) => e.feature === VERDICT),
      unit: fit.unit,
      offset: fit.offset,
    }),
    seen,
    mismatch: estimate(fit.draws.mismatch),
    blur: Object.freeze(fit.features.filter(hasClasses).map(blurOf)),
    observers: observersOf(fit, aligned),
    limb: Object.freeze({
      kept: fit.limbKept,
      logBayesFactor: fit.limbLogBayesFactor,
      ...(limbHours === undefined ? {} : { hours: limbHours }),
    }),
    ...(way === null ? {} : { onTheWay: way }),
    diagnostics: fit.diagnostics,
  });
}

function verdictFirst(all: LevelChart['edges']): LevelChart['edges'] {
  return Object.freeze([...all.filter((e) => e.feature === VERDICT), ...all.filter((e) => e.feature !== VERDICT)]);
}

function hasClasses(feature: FittedFeature): boolean {
  return feature.classes.length > 0;
}

function blurOf(feature: FittedFeature): LevelChart['blur'][number] {
  return Object.freeze({ feature: feature.id, sharesMismatch: feature.sharesMismatch, ...estimate(feature.blur) });
}

function observersOf(fit: LevelFit, aligned: Aligned): LevelChart['observers'] {
  const O = fit.observers.length;
  const counts = new Map<string, number>();
  for (const o of aligned.sightingObserver) {
    const name = aligned.observers[o];
    counts.set(name, (counts.get(name) ?? 0) + 1);
  }
  return Object.freeze(
    fit.observers.map((observer, o) =>
      Object.freeze({
        observer,
        sightings: counts.get(observer) ?? 0,
        ...estimate(Float64Array.from({ length: fit.draws.count }, (_, d) => fit.draws.bias[d * O + o])),
      }),
    ),
  );
}
