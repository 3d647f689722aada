import type { TrustFile } from '../../chart/types.js';
import type { Measured } from '../../judge/floodRatios.js';
import type { CreekTrust, Judgement } from '../../judge/judgement.js';
import type { TrustSummary } from '../../judge/types.js';
import { table, type Cell, type Table } from './table.js';

/** The checks behind a grade, a row each. */
export function checksOf({ grade, checks }: Pick<TrustSummary, 'grade' | 'checks'>, about = ''): Table {
  return table(
    `How far to trust it${about}: ${grade}`,
    checks.map(({ check, statistic, operator, threshold, unit, pass, comment }) => ({
      check,
      found: statistic,
      needed: `${operator} ${threshold} ${unit}`.trim(),
      pass,
      comment,
    })),
  );
}

/** A judgement in its own sentences, then its checks. */
export function judgementTables(judgement: Judgement): readonly Table[] {
  const { scores, rules, leadCurve, shift, suspects, nextLook } = judgement;
  const rows: readonly (readonly [string, string | undefined])[] = [
    ...judgement.reasons.map((reason, i) => [i === 0 ? 'why' : '', reason] as const),
    ['how often wrong', scores?.sentence],
    ['stated odds', scores?.reliability.sentence],
    ['how it was tested', scores?.methodSentence],
    ['a rule', rules?.sentence],
    ['deciding early', leadCurve?.sentence],
    ['did it move', shift.sentence],
    ['visits that look wrong', suspects.sentence],
    ['the next look', nextLook?.looks[0]?.sentence],
    ...judgement.improve.map((sentence, i) => [i === 0 ? 'what would improve it' : '', sentence] as const),
  ];
  const name = `${judgement.runName} by ${judgement.gaugeName}`;
  return [
    table(
      `${name}: ${judgement.grade}`,
      rows.flatMap(([matter, says]) => (says === undefined || says === '' ? [] : [{ matter, says }])),
    ),
    checksOf(judgement, `, ${name}`),
  ];
}

/** Every run of a judged creek with its gauges, best first, and the cautions. */
export function creekTrustTables({ runs, cautions }: CreekTrust | TrustFile): readonly Table[] {
  return [
    ...runs.map(({ name, gauges }) =>
      table(
        `${name}: how far to trust each gauge`,
        gauges.map(({ gaugeName, grade, way, evidence, scores, improve, reasons }) => ({
          gauge: gaugeName,
          grade,
          'read by': way === 'effective' ? 'effective reading' : way === 'one-reading' ? 'one reading' : '',
          'skill, %': percent(scores?.ways.find((one) => one.way === way)?.skill.againstFrequencies),
          'right, %': percent(scores?.confusion.right),
          'creek higher than said, %': percent(scores?.confusion.seenHigher),
          visits: evidence.visits,
          floods: evidence.floods,
          'what would improve it': improve[0] ?? reasons[0] ?? '',
        })),
      ),
    ),
    cautionTable(cautions),
  ];
}

export function cautionTable(cautions: readonly string[]): Table {
  return table(
    'Before anyone goes',
    cautions.map((caution) => ({ caution })),
  );
}

/** Whole percent; empty where nothing was measured. */
function percent(measured: Measured | undefined): Cell {
  const value = measured?.value ?? null;
  return value === null ? null : Math.round(100 * value) + 0;
}
