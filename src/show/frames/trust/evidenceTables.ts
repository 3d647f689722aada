import { MONTHS } from '../../../series/format.js';
import type { CreekTrust, Judgement } from '../../../judge/judgement.js';
import type { TidyTable } from '../tidyTable.js';
import { isoTime, trustTable, type TrustKey } from './trustRows.js';

export interface EvidenceRow {
  /** `visits`, `verdicts`, `floods`, `first visit`, `last visit`, `age`, `visits from`, `visits to`, `record from`, `record to`, `class`, `month`, `limb`, `approved`, `missing`. */
  readonly measure: string;
  /** Class word, month, limb, date, or the sentence of what is missing. */
  readonly item: string | null;
  readonly value: number | null;
  readonly unit: string;
}

/** What each relation rests on, one count a row; `record from` and `to` are the 5 % and 95 % points of the record. */
export function evidenceTable(trust: CreekTrust): TidyTable<TrustKey & EvidenceRow> {
  return trustTable<EvidenceRow>(
    'evidence',
    { measure: 'text', item: 'text', value: 'number', unit: 'text' },
    { trust, rows: evidenceRows },
  );
}

function evidenceRows({ evidence, classes, unit }: Judgement): EvidenceRow[] {
  const { limbs } = evidence;
  const count = (measure: string, value: number | null, of: string, item: string | null = null): EvidenceRow => ({
    measure,
    item,
    value,
    unit: of,
  });
  const time = (measure: string, timeMs: number | null) =>
    count(measure, null, '', timeMs === null ? null : isoTime(timeMs));
  return [
    count('visits', evidence.visits, 'visits'),
    count('verdicts', evidence.verdicts, 'visits'),
    count('floods', evidence.floods, 'floods'),
    time('first visit', evidence.firstVisitMs),
    time('last visit', evidence.lastVisitMs),
    count('age', evidence.ageDays, 'days'),
    count('visits from', evidence.span[0], unit),
    count('visits to', evidence.span[1], unit),
    count('record from', evidence.recordSpan[0], unit),
    count('record to', evidence.recordSpan[1], unit),
    ...evidence.classCounts.map((verdicts, k) => count('class', verdicts, 'verdicts', classes[k] ?? null)),
    ...evidence.monthCounts.map((visits, month) => count('month', visits, 'visits', MONTHS[month] ?? null)),
    count('limb', limbs.rising, 'visits', 'rising'),
    count('limb', limbs.steady, 'visits', 'steady'),
    count('limb', limbs.falling, 'visits', 'falling'),
    count('approved', evidence.approvedShare, 'share'),
    ...evidence.missing.map((sentence) => count('missing', null, '', sentence)),
  ];
}

export interface CheckRow {
  readonly check: string;
  readonly statistic: number | null;
  readonly operator: string;
  readonly threshold: number;
  readonly unit: string;
  readonly pass: boolean;
  readonly essential: boolean;
  readonly comment: string;
}

/** The checks behind each grade. */
export function checksTable(trust: CreekTrust): TidyTable<TrustKey & CheckRow> {
  return trustTable<CheckRow>(
    'checks',
    {
      check: 'text',
      statistic: 'number',
      operator: 'text',
      threshold: 'number',
      unit: 'text',
      pass: 'truth',
      essential: 'truth',
      comment: 'text',
    },
    {
      trust,
      rows: ({ checks }) =>
        checks.map(({ check, statistic, operator, threshold, unit, pass, essential, comment }) => ({
          check,
          statistic,
          operator,
          threshold,
          unit,
          pass,
          essential,
          comment,
        })),
    },
  );
}
