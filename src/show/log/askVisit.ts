import { zoneClock } from '../../series/time.js';
import type { Creek, Feature, Run } from '../../series/creek.js';
import { VERDICT } from '../../series/visits.js';
import { readSighting, type SightingCells } from '../../read/readSighting.js';
import { plainWord } from '../../read/plainWord.js';
import { plainText } from '../text/plainText.js';

export type Ask = (question: string) => Promise<string>;

/** What is known before anybody is asked. */
export interface Given {
  readonly run?: string;
  readonly when?: string;
  readonly who?: string;
  readonly giveOrTakeMin?: string;
  readonly note?: string;
  /** `feature=what`, each as it was seen. */
  readonly saw?: readonly string[];
}

/**
 * The sightings of one visit, asked for in the creek's own words: run, time, person, then each feature down the run and the verdict last.
 * Neither a gauge nor a chart is shown, so that nobody sees what they were told. An answer that cannot be used is asked for again with the
 * reason.
 */
export async function askVisit(creek: Creek, given: Given, ask: Ask): Promise<readonly SightingCells[]> {
  const ids = creek.runs.map(({ id }) => id);
  const only = creek.runs.length === 1 ? ids[0] : undefined;
  const runId = await settled(
    given.run ?? only,
    `Run (${ids.join(', ')})`,
    (text) => (runOf(creek, text) ? undefined : `a run is one of ${ids.join(', ')}`),
    ask,
  );
  const run = runOf(creek, runId)!;
  const shared = { visit: '', give_or_take_min: given.giveOrTakeMin ?? '', run: run.id, note: given.note ?? '' };
  const row = (more: Partial<SightingCells>): SightingCells => ({
    ...shared,
    when: '',
    feature: VERDICT,
    saw: run.classes[0]!,
    observer: 'x',
    ...more,
  });
  const wrong = (cells: SightingCells, column: string) =>
    readSighting(cells, { file: '', row: 1, creek, clock: zoneClock(creek.timeZone) }).issues.find(
      (issue) => issue.severity === 'warning' && issue.column === column,
    )?.hint;
  const when = await settled(
    given.when,
    `When, by the clock at the creek (such as 2031-05-03T14:30)`,
    (text) => wrong(row({ when: text }), 'when'),
    ask,
  );
  const observer = await settled(
    given.who,
    'Who saw it',
    (text) => (text === '' ? 'a name or initials' : undefined),
    ask,
  );
  const said = new Map(
    (given.saw ?? []).map((pair) => [plainWord(pair.split('=')[0]!), pair.slice(pair.indexOf('=') + 1).trim()]),
  );
  const asked = given.saw === undefined;
  const rows: SightingCells[] = [];
  for (const feature of thingsOf(run)) {
    const check = (text: string) =>
      text === '' ? undefined : wrong(row({ when, feature: feature.id, saw: wordOf(text, feature) }), 'saw');
    const text = asked
      ? await settled(undefined, questionOf(feature), check, ask)
      : (said.get(plainWord(feature.id)) ?? '');
    if (text !== '') rows.push(row({ when, observer, feature: feature.id, saw: wordOf(text, feature) }));
    said.delete(plainWord(feature.id));
  }
  // A feature that the run does not have is refused with the others, when the rows are read.
  for (const [feature, saw] of said) rows.push(row({ when, observer, feature, saw }));
  return rows;
}

type Thing = Pick<Feature, 'id' | 'name' | 'classes' | 'unit' | 'looks'>;

/** The features down the run, the verdict last. */
function thingsOf(run: Run): readonly Thing[] {
  return [...run.features, { id: VERDICT, name: 'The whole run, afterwards', classes: run.classes }];
}

function questionOf({ name, classes, unit, looks = {} }: Thing): string {
  const words = classes?.map(
    (word, k) => `\n  ${k + 1} ${plainText(word)}${looks[word] === undefined ? '' : `: ${plainText(looks[word])}`}`,
  );
  return `${plainText(name)}${words?.join('') ?? `, ${plainText(unit ?? '')}`}\n(empty: not seen)`;
}

/** A class by its number in the list, or what was typed. */
function wordOf(text: string, { classes }: Thing): string {
  return /^\d+$/.test(text) ? (classes?.[Number(text) - 1] ?? text) : text;
}

function runOf(creek: Creek, text: string): Run | undefined {
  return creek.runs.find(({ id, name }) => [id, name].some((one) => plainWord(one) === plainWord(text)));
}

/** The first of what was given and what is answered that nothing is wrong with. */
async function settled(
  given: string | undefined,
  question: string,
  wrong: (text: string) => string | undefined,
  ask: Ask,
): Promise<string> {
  let text = (given ?? (await ask(`${question}: `))).trim();
  for (let reason = wrong(text); reason !== undefined; reason = wrong(text))
    text = (await ask(`'${plainText(text)}': ${reason}\n${question}: `)).trim();
  return text;
}
