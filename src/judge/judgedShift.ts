import { counted } from '../series/format.js';
import type { Aligned } from '../align/types.js';
import { localDate, type ZoneClock } from '../series/time.js';
import type { JudgedShift } from './judgement.js';
import { SHIFT_FOUND, type ShiftFinding } from './shift.js';

/** Between this and `SHIFT_FOUND` the log leaves it open. */
const OPEN_FROM = 0.2;

/**
 * Did the relation move for good? The finding of `shiftOf` as plain data, with a sentence.
 *
 * @param aligned the visits. @param options.finding null: nothing was fitted, and nothing can be said.
 * @param options.clock clock of the creek's zone. @param options.before, options.after edges by the visits before and after, where fitted.
 */
export function judgedShift(
  aligned: Aligned,
  {
    finding,
    clock,
    before = null,
    after = null,
  }: {
    finding: ShiftFinding | null;
    clock: ZoneClock;
    before?: JudgedShift['before'];
    after?: JudgedShift['after'];
  },
): JudgedShift {
  if (finding === null)
    return {
      status: 'too-few',
      probability: null,
      found: false,
      pettittP: null,
      step: null,
      residuals: [],
      before: null,
      after: null,
      sentence: TOO_FEW,
    };
  const { step } = finding;
  return {
    status: finding.status,
    probability: finding.probability,
    found: finding.found,
    pettittP: finding.pettitt?.p ?? null,
    step:
      step === null
        ? null
        : {
            betweenMs: step.betweenMs,
            date80Ms: step.date80Ms,
            sizeMedian: step.size.median,
            size80: step.size.i80,
            visitsBefore: step.visitsBefore,
            visitsAfter: step.visitsAfter,
          },
    residuals: aligned.visitIds.flatMap((visit, i) =>
      finding.residuals[i] === finding.residuals[i]
        ? [{ visit, timeMs: aligned.visitTimesMs[i], residual: finding.residuals[i] }]
        : [],
    ),
    before: finding.found ? before : null,
    after: finding.found ? after : null,
    sentence: shiftSentence(finding, clock),
  };
}

const TOO_FEW = 'Too few floods to say whether the relation moved: three on either side are the least.';

function shiftSentence({ status, probability, found, step }: ShiftFinding, clock: ZoneClock): string {
  if (status === 'too-few' || probability === null || step === null) return TOO_FEW;
  const odds = `probability ${probability >= 0.995 ? 'over 99' : Math.round(probability * 100)} %`;
  const day = (ms: number) => localDate(ms, clock);
  const what =
    `between ${day(step.betweenMs[0])} and ${day(step.betweenMs[1])}: since then the creek stands ` +
    sizeWords(step.size);
  if (found)
    return (
      `The relation most likely moved (${odds}) ${what}. ${counted(step.visitsBefore, 'visit')} ` +
      `before, ${step.visitsAfter} after; the chart mixes both.`
    );
  if (probability >= OPEN_FROM)
    return (
      `The log can't tell yet whether the relation moved (${odds}; ${Math.round(SHIFT_FOUND * 100)} % ` +
      `would be a finding). If it did, then most likely ${what}. Verdicts on new floods would tell: so ` +
      `far ${counted(step.visitsAfter, 'visit')} came after that date.`
    );
  return `No lasting change was found (${odds}), but a poor gauge can hide one.`;
}

/** What the size of a step means; without a direction where its interval has none. */
function sizeWords({ median, i80: [low, high] }: { median: number; i80: readonly [number, number] }): string {
  const percent = (ln: number) => `${Math.abs(Math.round(Math.expm1(ln) * 100))} %`;
  const way = (ln: number) => (ln > 0 ? 'more' : 'less');
  const head =
    `${median > 0 ? 'higher' : 'lower'} at the same reading, as if the gauge read ${percent(median)} ` +
    `${way(median)} than it does`;
  if (low < 0 && high > 0) return `${head} (80 % interval: ${percent(low)} less to ${percent(high)} more)`;
  const [near, far] = median > 0 ? [low, high] : [high, low];
  return `${head} (80 % interval: ${percent(near)} to ${percent(far)})`;
}
