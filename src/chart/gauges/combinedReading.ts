import type { Aligned } from '../../align/types.js';
import { fitLevels } from '../../fit/fitLevels.js';
import type { LevelFit, Link } from '../../fit/types.js';
import type { CombinedGauge, CombinedPart } from '../../judge/gauges/types.js';
import { listed } from '../../judge/judgeWords.js';
import type { GaugeRecord } from '../../series/gaugeRecord.js';
import { unitLabel } from '../../series/units.js';
import { VERDICT } from '../../series/visits.js';
import { edges } from '../edges.js';
import { estimate } from '../../kernel/estimate.js';
import { limbInWords, readingInWords } from '../howToRead.js';
import { hoursInWords, parameterWord, plain } from '../numbers.js';
import { seenRange } from '../seenRange.js';
import type { FittedCombined } from './taskTypes.js';

/**
 * How to read a combined gauge, and the edges on what is read.
 *
 * The ranking averages over weights; people need one set of them, and edges on the mean of one set say nothing about another's, whose scale is another. So the likeliest
 * weights are taken and the fit is made again for them alone, over all lags and storages that go with them, as a single gauge's is. The sentence tells the likeliest of those.
 *
 * @param combined the gauge. @param fit its fit in the ranking. @param options.records the gauges' records, for their stage of no flow. @param options.seed of the fit.
 * @param options.draws of the fit; default 1000.
 * @returns null where that fit came to nothing.
 */
export function combinedReading(
  combined: CombinedGauge,
  fit: LevelFit,
  {
    records,
    leadHours,
    link,
    seed,
    draws = 1000,
  }: { records: readonly GaugeRecord[]; leadHours: number; link: Link; seed: number; draws?: number },
): FittedCombined | null {
  const configurations = likeliestWeights(combined, fit.grid.probability);
  const aligned = onlyConfigurations(combined.aligned, configurations);
  const { effective } = fitLevels(aligned, { leadHours, link, seed, draws, modes: ['effective'] });
  if (!(effective.draws.count > 0)) return null;
  const range = seenRange(aligned, effective.reading);
  if (range === null) return null;
  const { probability } = effective.grid;
  const best = probability.indexOf(probability.reduce((a, b) => Math.max(a, b)));
  const parts = combined.configurations[configurations[best]];
  const limbHours = effective.limbKept ? estimate(effective.draws.limb).median : 0;
  return Object.freeze({
    id: combined.id,
    name: combined.name,
    howToRead: `${meanInWords(parts, { records, aligned })}${limbInWords(limbHours)}${
      leadHours > 0 ? ` Made for deciding ${hoursInWords(leadHours)} ahead.` : ''
    }`,
    parts,
    unit: aligned.unit,
    edges: Object.freeze(edges(effective, aligned).filter(({ feature }) => feature === VERDICT)),
    seen: Object.freeze({ from: effective.offset + Math.exp(range.low), to: effective.offset + Math.exp(range.high) }),
  });
}

/** Configurations that share the weights with the largest share of the posterior. */
function likeliestWeights({ configurations }: CombinedGauge, probability: Float64Array): readonly number[] {
  const groups = new Map<string, { share: number; of: number[] }>();
  configurations.forEach((parts, v) => {
    const key = parts.map(({ weight }) => weight).join(' ');
    const group = groups.get(key) ?? { share: 0, of: [] };
    group.share += probability[v];
    group.of.push(v);
    groups.set(key, group);
  });
  return [...groups.values()].reduce((a, b) => (b.share > a.share ? b : a)).of;
}

/** The visits on some of a combined gauge's configurations, numbered anew from 0. */
function onlyConfigurations(aligned: Aligned, configurations: readonly number[]): Aligned {
  const rows = (values: Float64Array): Float64Array => {
    const width = values.length / aligned.storagesHours.length;
    const out = new Float64Array(configurations.length * width);
    configurations.forEach((v, at) => out.set(values.subarray(v * width, (v + 1) * width), at * width));
    return out;
  };
  return Object.freeze({
    ...aligned,
    storagesHours: Float64Array.from(configurations, (_, at) => at),
    x: rows(aligned.x),
    slope: rows(aligned.slope),
    shift: rows(aligned.shift),
  });
}

function meanInWords(
  parts: readonly CombinedPart[],
  { records, aligned: { parameter } }: { records: readonly GaugeRecord[]; aligned: Aligned },
): string {
  const reads = parts.map((part) => {
    const record = records.find(({ gauge }) => gauge === part.gauge)!;
    const base = record.zeroFlowStage ?? 0;
    const above = base === 0 ? '' : `, less ${plain(base, 2)} ${unitLabel(record.unit)} (its height at no flow)`;
    return `at ${record.name} take ${readingInWords(part, { parameter })}${above}`;
  });
  // Weights sum to 1, so that the mean comes out in whatever unit the parts were taken in.
  const what = `${parts.length === 2 ? 'both' : 'all'} ${parameterWord(parameter)}s, in one unit,`;
  const powers = parts.map(({ weight }) => plain(weight, 2));
  const even = parts.every(({ weight }) => Math.abs(weight - parts[0].weight) < 1e-9);
  const mean = !even
    ? `Raise ${what} to the powers ${listed(powers)} and multiply them`
    : parts.length === 2
      ? `Multiply ${what} and take the square root`
      : `Multiply ${what} and take the ${parts.length === 3 ? 'third' : `${parts.length}th`} root`;
  const first = reads.join('; ');
  return `${first.slice(0, 1).toUpperCase()}${first.slice(1)}. ${mean}: the edges are for what comes out.`;
}
