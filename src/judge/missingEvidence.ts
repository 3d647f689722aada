import { MONTHS, counted, listed, share } from '../series/format.js';
import type { Aligned } from '../align/types.js';
import { VERDICT } from '../series/visits.js';
import type { Evidence, LoggedEvidence } from './evidence.js';
import { goodClasses } from './goodClasses.js';
import { THRESHOLDS } from './thresholds.js';

/** A month counts as one to be out in when at least this share of its readings lies in the good range: about one day in five. */
export const OFTEN_GOOD = 0.2;
/** A flood that holds more of the verdicts than this speaks louder than all others together could answer. */
export const DOMINANT_FLOOD = 0.3;
/** With fewer exact times than this the lag is learned from a few visits only. */
export const FEWEST_EXACT = 1 / 3;
/** Beds move and wood comes and goes with the floods of a few winters (common practice: look again after three years). */
export const OLD_DAYS = 3 * 365.2425;
/** Below this share of approved readings the numbers themselves may still change. */
export const FEWEST_APPROVED = 0.5;

/**
 * What is missing in a log, a plain sentence each, worst first; empty if nothing is.
 *
 * @param options.ageDays days from the last visit to the record's end.
 * @param options.monthCounts visits a month, January first.
 * @param options.approvedShare null where no file says.
 * @param options.goodByMonth share of each month's readings in the good range (12), null without a fit.
 */
export function missingEvidence(
  aligned: Aligned,
  {
    goodByMonth,
    ...evidence
  }: Omit<Evidence, 'span' | 'recordSpan' | 'missing'> & { readonly goodByMonth: Float64Array | null },
): readonly string[] {
  const { ageDays, monthCounts, approvedShare } = evidence;
  if (evidence.visits === 0) return ['There is no visit with a reading of this gauge.'];
  const out = [
    ...edgeSentences(aligned, evidence),
    ...limbSentences(evidence),
    ...floodSentences(evidence),
    ...monthSentences(monthCounts, goodByMonth),
    ...exactSentences(aligned),
  ];
  if (ageDays !== null && ageDays > OLD_DAYS)
    out.push(
      `The last visit is ${counted(Math.floor(ageDays / 365.2425), 'year')} older than the record's ` +
        'end: the bed may have moved since. Log a few visits this season.',
    );
  if (approvedShare !== null && approvedShare < FEWEST_APPROVED)
    out.push(
      `Only ${share(approvedShare)} of the gauge's readings are approved; provisional ones can still be corrected.`,
    );
  return out;
}

/** Few verdicts beyond an edge of the good range. People log when it runs, so the low side is the usual gap. */
function edgeSentences(aligned: Aligned, { classCounts, goodEdges }: LoggedEvidence): string[] {
  const classes = aligned.features.find((f) => f.id === VERDICT)?.classes ?? [];
  if (classes.length < 2) return ['No visit has a verdict: the chart knows features, not levels of the run.'];
  const [low] = goodClasses(classes);
  const out: string[] = [];
  const lower = goodEdges.find(({ between }) => classes.indexOf(between[1]) === low);
  const lowest = classCounts[0];
  if (low > 0 && lowest < THRESHOLDS.besideGoodEdge)
    out.push(
      `${howMany(lowest)} of "${classes[0]}": people log when it runs, so nobody writes down the days ` +
        'it does not, and the low edge stays vague. Drive by on a low day and log it.',
    );
  else if (lower !== undefined && lower.below < THRESHOLDS.besideGoodEdge)
    out.push(
      `${howMany(lower.below)} below "${lower.between[1]}": people log when it runs, so the low edge ` +
        'stays vague. Drive by on a low day and log it.',
    );
  for (const { between, below, above } of goodEdges) {
    if (between === lower?.between) continue;
    if (above < THRESHOLDS.besideGoodEdge)
      out.push(
        `${howMany(above)} of "${between[1]}" or more: where too much begins is mostly a guess. A look ` +
          'from the bank on a high day is enough.',
      );
    else if (below < THRESHOLDS.besideGoodEdge)
      out.push(`${howMany(below)} of "${between[0]}" or less: the upper edge hangs in the air from below.`);
  }
  return out;
}

function howMany(count: number): string {
  return count === 0 ? 'No verdict' : `Only ${counted(count, 'verdict')}`;
}

function limbSentences({ limbs }: LoggedEvidence): string[] {
  if (limbs.rising === 0)
    return ['No visit on rising water: what the gauge says on the way up is untested, and that is when it hurts.'];
  if (limbs.falling === 0) return ['No visit on falling water: what the gauge says on the way down is untested.'];
  return [];
}

function floodSentences({ fullestFloodShare, verdicts, floods }: LoggedEvidence): string[] {
  if (verdicts === 0 || floods < 2 || !(fullestFloodShare > DOMINANT_FLOOD)) return [];
  return [
    `One flood holds ${share(fullestFloodShare)} of the verdicts, and its visits tell one story. Log other floods.`,
  ];
}

function monthSentences(monthCounts: readonly number[], goodByMonth: Float64Array | null): string[] {
  if (goodByMonth === null) return [];
  const empty = MONTHS.map((_, m) => m).filter((m) => monthCounts[m] === 0 && goodByMonth[m] >= OFTEN_GOOD);
  if (empty.length === 0) return [];
  const most = empty.reduce((best, m) => (goodByMonth[m] > goodByMonth[best] ? m : best), empty[0]);
  const share = `${Math.round(goodByMonth[most] * 100)} %`;
  return [
    empty.length === 1
      ? `No visit in ${MONTHS[most]}, though ${share} of its readings lie in the good range.`
      : `No visit in ${listed(empty.map((m) => MONTHS[m]))}, though the gauge is often in the good range ` +
        `then (in ${MONTHS[most]} ${share} of the readings).`,
  ];
}

function exactSentences({ nodeStart, visitIds }: Aligned): string[] {
  const exact = visitIds.filter((_, i) => nodeStart[i + 1] - nodeStart[i] === 1).length;
  if (exact >= FEWEST_EXACT * visitIds.length) return [];
  return [
    `${exact === 0 ? 'No visit has' : `Only ${exact} of ${counted(visitIds.length, 'visit')} ${exact === 1 ? 'has' : 'have'}`} ` +
      'an exact time: the lag is learned from the clock. Write down when you were at each feature.',
  ];
}
