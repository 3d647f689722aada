import { agreementSentence } from '../../judge/judgedObservers.js';
import type { CreekTrust, Judgement } from '../../judge/judgement.js';
import { isUsable } from './gaugesBestFirst.js';
import { dayText } from './trustTexts.js';

/** Notes of one run by one gauge for the people who keep the log. */
export interface KeeperNotes {
  readonly runName: string;
  readonly gaugeName: string;
  readonly parts: readonly { readonly label: string; readonly notes: readonly string[] }[];
}

/** Without an observer an edge that moves by more than this share of its interval is worth a line. */
const QUARTER = 0.25;
/** An observer is named from this probability of a lean on. */
const LEANS = 0.9;

/**
 * What the log's keeper wants to know: visits that look wrong, who reads high or low, whether the relation moved, what is missing. For every gauge that can be planned
 * with; where a run has none, for its best one.
 */
export function keeperNotes({ runs, creek }: CreekTrust): readonly KeeperNotes[] {
  return runs.flatMap(({ name, gauges }) => {
    const usable = gauges.filter(({ grade }) => isUsable(grade));
    return (usable.length > 0 ? usable : gauges.slice(0, 1)).map((judgement) => ({
      runName: name,
      gaugeName: judgement.gaugeName,
      parts: partsOf(judgement, creek.timeZone),
    }));
  });
}

function partsOf(judgement: Judgement, timeZone: string): KeeperNotes['parts'] {
  const { observers, shift, evidence } = judgement;
  const leaning = observers.rows.filter(({ above }) => above >= LEANS || above <= 1 - LEANS);
  return [
    { label: 'Visits that look wrong', notes: suspectNotes(judgement, timeZone) },
    {
      label: 'Observers',
      notes: [
        ...(leaning.length > 0
          ? leaning.map(({ sentence }) => sentence)
          : [observers.rows.length < 2 ? 'Nobody to compare with.' : 'Nobody clearly reads high or low.']),
        ...observers.without
          .filter(({ largestMove }) => Math.abs(largestMove) > QUARTER)
          .map(({ sentence }) => sentence),
        agreementSentence(observers),
      ],
    },
    { label: 'Did it move', notes: [shift.sentence] },
    {
      label: 'Missing',
      notes: evidence.missing.length > 0 ? evidence.missing : ['Nothing that the log could be told.'],
    },
  ];
}

/** The sentence of the list, then a line a visit: when, where it stands, and what would explain it with its odds. */
export function suspectNotes({ suspects }: Judgement, timeZone: string): readonly string[] {
  return [
    suspects.sentence,
    ...suspects.rows.map(({ visit, timeMs, rows, observers, sound, explanations }) => {
      const where = `visits.csv ${rows.length === 1 ? 'row' : 'rows'} ${rows.join(', ')}`;
      const why = explanations
        .slice(0, 2)
        .map(({ sentence, probability }) => `${sentence.replace(/\.$/, '')} (${Math.round(probability * 100)} %)`);
      return `${visit}, ${dayText(timeMs, timeZone)}, ${observers.join(', ')} (${where}): right as written ${Math.round(sound * 100)} %. ${why.join('; ')}.`;
    }),
  ];
}
