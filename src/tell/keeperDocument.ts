import { agreementSentence } from '../judge/judgedObservers.js';
import { isUsableGrade } from '../judge/grade.js';
import type { CreekTrust, Judgement } from '../judge/judgement.js';
import { day, odds } from '../series/format.js';
import { heading, list, says, type Block, type Document } from './document.js';

/** From this share of its interval on, what an edge moves without one observer is worth a line. */
const QUARTER = 0.25;
/** An observer is named from this probability of a lean on. */
const LEANS = 0.9;

/**
 * What the log's keeper wants to know: visits that look wrong, who sees more or less water, whether the relation moved, what is missing.
 * For every gauge that may be planned with; where a run has none, for its best one.
 */
export function keeperDocument(trust: CreekTrust): Document {
  return {
    kind: 'document',
    subject: 'keeper',
    title: `For whoever keeps the log of ${trust.creek.name}`,
    cautions: trust.cautions,
    body: trust.runs.flatMap(({ name, gauges }) => {
      const usable = gauges.filter(({ grade }) => isUsableGrade(grade));
      return (usable.length > 0 ? usable : gauges.slice(0, 1)).flatMap((judgement) => [
        heading(3, `${name}, by ${judgement.gaugeName}`),
        ...partsOf(judgement, trust.creek.timeZone),
      ]);
    }),
  };
}

function partsOf(judgement: Judgement, timeZone: string): readonly Block[] {
  const { observers, shift, evidence, improve } = judgement;
  const part = (title: string, items: readonly string[]): readonly Block[] =>
    items.length === 0 ? [] : [heading(4, title), ...list(items)];
  return [
    ...part('Visits that look wrong', suspectItems(judgement, timeZone)),
    ...part('Observers', observerItems(observers)),
    ...part('Did it move', [shift.sentence]),
    ...part('What is missing', evidence.missing),
    ...part('What would improve it', improve),
    ...(evidence.missing.length + improve.length === 0 ? says('The log has no gap worth filling first.') : []),
  ];
}

function observerItems(observers: Judgement['observers']): readonly string[] {
  const leaning = observers.rows.filter(({ above }) => above >= LEANS || above <= 1 - LEANS);
  const nobody =
    observers.rows.length < 2 ? 'There is nobody to compare with.' : 'Nobody clearly sees more or less water.';
  return [
    ...(leaning.length > 0 ? leaning.map(({ sentence }) => sentence) : [nobody]),
    ...observers.without.filter(({ largestMove }) => Math.abs(largestMove) > QUARTER).map(({ sentence }) => sentence),
    agreementSentence(observers),
  ];
}

/** The sentence of the list, then an item a visit: when, where it stands, and what would explain it with its odds. */
export function suspectItems({ suspects }: Judgement, timeZone: string): readonly string[] {
  return [
    suspects.sentence,
    ...suspects.rows.map(({ visit, timeMs, rows, observers, sound, explanations }) => {
      const where = `${rows.length === 1 ? 'row' : 'rows'} ${rows.join(', ')}`;
      const why = explanations.slice(0, 2).map(({ sentence, probability }) => `${odds(probability)}: ${sentence}`);
      return `${visit}, ${day(timeMs, timeZone)}, ${observers.join(', ')} (${where}): right as written ${odds(sound)}. ${why.join(' ')}`;
    }),
  ];
}
