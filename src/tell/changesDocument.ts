import type { ChartChanges, RunChanges } from '../chart/chartChanges.js';
import { counted, inUnit } from '../series/format.js';
import { heading, list, says, type Block, type Document } from './document.js';

const NAMED = 6;

/** What changed since the chart before, in one line; '' where nothing did. */
export function changesLine({ runs }: ChartChanges): string {
  if (runs.length === 0) return '';
  return `Since the chart before: ${runs.map((run) => `${run.name}: ${itemsOf(run, 0).join(', ')}`).join('; ')}.`;
}

/** The same run by run, with the visits' names. */
export function changesBlocks({ runs }: ChartChanges): readonly Block[] {
  return runs.flatMap((run) => [heading(4, run.name), ...list(itemsOf(run, NAMED))]);
}

/** Two charts of one creek compared. */
export function changesDocument(
  changes: ChartChanges,
  { name, cautions }: { name: string; cautions: readonly string[] },
): Document {
  const nothing = 'Nothing changed: the same visits, gauges, grades and printed edges.';
  return {
    kind: 'document',
    subject: 'changes',
    title: `${name}: what changed`,
    cautions,
    body: changes.runs.length === 0 ? says(nothing) : changesBlocks(changes),
  };
}

function itemsOf({ added, left, gauge, grade, edges }: RunChanges, named: number): readonly string[] {
  const visits = (ids: readonly string[], word: string) =>
    ids.length === 0 ? [] : [`${counted(ids.length, 'visit')} ${word}${namesOf(ids, named)}`];
  return [
    ...visits(added, 'more'),
    ...visits(left, 'fewer'),
    ...(gauge ? [`read ${gauge.after ?? 'no gauge'}, before ${gauge.before ?? 'no gauge'}`] : []),
    ...(grade ? [`${grade.after}, before ${grade.before}`] : []),
    ...edges.map(
      ({ between, unit, before, after, beyond }) =>
        `${between.join(' / ')} ${inUnit(after.rounded, unit, after.digits)}, before ` +
        `${inUnit(before.rounded, unit, before.digits)} ` +
        `(${beyond ? 'more than its interval' : 'within its interval'})`,
    ),
  ];
}

function namesOf(ids: readonly string[], named: number): string {
  if (named === 0) return '';
  return ` (${ids.slice(0, named).join(', ')}${ids.length > named ? ' and others' : ''})`;
}
