import type { GaugeRecord } from '../series/gaugeRecord.js';
import { firstFrom } from './firstFrom.js';
import type { Explanation } from './suspectSlips.js';

/** Share of readings of each kind that say nothing of the water; assumed, see docs/judging.md. */
const PRIORS = { estimated: 0.05, gap: 0.03, provisional: 0.01 };

/** A step of twice the usual one is a reading that failed. */
const GAP_STEPS = 1.5;

/**
 * Whether the gauge itself may be wrong around a time: readings that the agency estimated, readings beside a gap (missing, refused or
 * never sent: ice, a failing float), or readings not yet approved; the worst of them counts.
 *
 * @param options.fromMs, options.toMs stretch of the record that the visit is read from; a usual step more on either side is looked at.
 * @returns null where the record gives no reason for doubt.
 */
export function gaugeDoubt(
  { timesMs, values, stepMs, doubt }: GaugeRecord,
  { fromMs, toMs }: { fromMs: number; toMs: number },
): Explanation | null {
  const step = stepMs > 0 ? stepMs : 0;
  let estimated = false;
  let gap = false;
  let provisional = false;
  let before = -Infinity;
  for (let i = firstFrom(timesMs, fromMs - step); i < timesMs.length && timesMs[i] <= toMs + step; i++) {
    if (!(values[i] === values[i]) || (before > -Infinity && timesMs[i] - before > GAP_STEPS * step)) gap = true;
    if (doubt !== undefined && doubt[i] === 2) estimated = true;
    if (doubt !== undefined && doubt[i] === 1) provisional = true;
    before = timesMs[i];
  }
  // A gap that swallows the window's ends leaves nothing but its far sides.
  const first = timesMs[firstFrom(timesMs, fromMs - step)];
  if (!(first <= fromMs + GAP_STEPS * step) || !(before >= toMs - GAP_STEPS * step)) gap = true;
  if (estimated)
    return told(PRIORS.estimated, 'The gauge: its readings around that time were estimated, not measured.');
  if (gap)
    return told(PRIORS.gap, 'The gauge: there is a gap, or a refused reading, beside the readings around that time.');
  if (provisional)
    return told(PRIORS.provisional, 'The gauge: its readings around that time are provisional and may be corrected.');
  return null;
}

function told(prior: number, sentence: string): Explanation {
  return { kind: 'gauge', prior, sentence };
}
