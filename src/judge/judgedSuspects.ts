import { counted } from '../series/format.js';
import type { Aligned } from '../align/types.js';
import type { LevelFit } from '../fit/types.js';
import type { GaugeRecord } from '../series/gaugeRecord.js';
import type { JudgedSuspects } from './judgement.js';
import { suspectsOf } from './suspects.js';

/** Explanations below this are not worth a line. */
const LEAST_WORTH = 0.01;

/**
 * Visits that look wrong, with what would explain them. They are shown, never removed.
 *
 * @param fit the better way of reading; null: none is judged.
 * @param options.record the gauge's, so that its own doubts explain something too.
 */
export function judgedSuspects(
  fit: LevelFit | null,
  aligned: Aligned,
  { record }: { record?: GaugeRecord } = {},
): JudgedSuspects {
  if (fit === null) return { judged: 0, rows: [], sentence: 'No visit could be held against the gauge.' };
  const { suspects, judged } = suspectsOf(fit, aligned, record === undefined ? {} : { record });
  return {
    judged,
    rows: suspects.map(({ visit, timeMs, rows, observers, sound, explanations }) => ({
      visit,
      timeMs,
      rows,
      observers,
      sound,
      explanations: explanations
        .filter(({ probability }, at) => at === 0 || probability >= LEAST_WORTH)
        .map(({ kind, sentence, probability }) => ({ kind, sentence, probability })),
    })),
    sentence:
      suspects.length === 0
        ? `None of ${counted(judged, 'visit')} contradicts the gauge so far that it looks like a mistake.`
        : suspects.length === 1
          ? `1 of ${counted(judged, 'visit')} looks wrong. It is shown, not removed: look it up before changing anything.`
          : `${suspects.length} of ${counted(judged, 'visit')} look wrong. They are shown, not removed: look ` +
            'them up before changing anything.',
  };
}
