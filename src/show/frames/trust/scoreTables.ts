import type { CreekTrust } from '../../../judge/judgement.js';
import type { TidyTable } from '../tidyTable.js';
import { isoTime, MEASURED, measuredCells, trustTable, type MeasuredCells, type TrustKey } from './trustRows.js';

export interface SkillRow extends MeasuredCells {
  /** `effective`, `one-reading`, `as-it-stands`. */
  readonly way: string;
  /** `rps` (lower is better), `skill` (1 perfect, 0 no better than the base), `log score` and `log gain` (nats). */
  readonly score: string;
  /** The base of a skill or gain: `frequencies`, `month`, `no lag`. */
  readonly against: string | null;
}

/** Scores on floods left out, three ways of reading, three bases. */
export function skillTable(trust: CreekTrust): TidyTable<TrustKey & SkillRow> {
  return trustTable<SkillRow>(
    'skill',
    { way: 'text', score: 'text', against: 'text', ...MEASURED },
    {
      trust,
      rows: ({ scores }) =>
        (scores?.ways ?? []).flatMap(({ way, rps, skill, logScore, logGain }) => [
          { way, score: 'rps', against: null, ...measuredCells(rps) },
          { way, score: 'skill', against: 'frequencies', ...measuredCells(skill.againstFrequencies) },
          { way, score: 'skill', against: 'month', ...measuredCells(skill.againstMonth) },
          ...(skill.againstNoLag === null
            ? []
            : [{ way, score: 'skill', against: 'no lag', ...measuredCells(skill.againstNoLag) }]),
          { way, score: 'log score', against: null, ...measuredCells(logScore) },
          { way, score: 'log gain', against: 'frequencies', ...measuredCells(logGain) },
        ]),
    },
  );
}

export interface ReliabilityRow extends MeasuredCells {
  readonly from: number;
  readonly to: number;
  readonly stated: number;
  /** Where the share would lie in 80 % of worlds in which the stated odds are right. `value` is the share that was seen. */
  readonly ifRightLow80: number;
  readonly ifRightHigh80: number;
  readonly weight: number;
  readonly floods: number;
}

/** Stated odds against what happened, a bin of odds a row. */
export function reliabilityTable(trust: CreekTrust): TidyTable<TrustKey & ReliabilityRow> {
  return trustTable<ReliabilityRow>(
    'reliability',
    {
      from: 'number',
      to: 'number',
      stated: 'number',
      ...MEASURED,
      ifRightLow80: 'number',
      ifRightHigh80: 'number',
      weight: 'number',
      floods: 'number',
    },
    {
      trust,
      rows: ({ scores }) =>
        (scores?.reliability.bins ?? []).map(({ from, to, stated, seen, ifRight80, weight, floods }) => ({
          from,
          to,
          stated,
          ...measuredCells(seen),
          ifRightLow80: ifRight80[0],
          ifRightHigh80: ifRight80[1],
          weight,
          floods,
        })),
    },
  );
}

export interface ConfusionRow {
  readonly said: string;
  readonly seen: string;
  /** By weight: verdicts of one visit share it. */
  readonly verdicts: number;
}

/** The likeliest class against the one seen. */
export function confusionTable(trust: CreekTrust): TidyTable<TrustKey & ConfusionRow> {
  return trustTable<ConfusionRow>(
    'confusion',
    { said: 'text', seen: 'text', verdicts: 'number' },
    {
      trust,
      rows: ({ scores, classes }) =>
        (scores?.confusion.table ?? []).flatMap((row, said) =>
          row.map((verdicts, seen) => ({ said: classes[said] ?? '', seen: classes[seen] ?? '', verdicts })),
        ),
    },
  );
}

export interface RateRow extends MeasuredCells {
  /** `right`, `within one`, `seen higher`, `seen lower`; `mean top odds`, `sure`, `sure and right`, `entropy`, `logged entropy`. */
  readonly rate: string;
  readonly unit: string;
}

/** How often the likeliest class was right or off, and how sharp the odds are. */
export function ratesTable(trust: CreekTrust): TidyTable<TrustKey & RateRow> {
  return trustTable<RateRow>(
    'rates',
    { rate: 'text', ...MEASURED, unit: 'text' },
    {
      trust,
      rows: ({ scores }) => {
        if (scores === null) return [];
        const { confusion, sharpness } = scores;
        const rows = [
          ['right', confusion.right, 'share'],
          ['within one', confusion.withinOne, 'share'],
          ['seen higher', confusion.seenHigher, 'share'],
          ['seen lower', confusion.seenLower, 'share'],
          ['mean top odds', sharpness.meanTop, 'odds'],
          ['sure', sharpness.sure, 'share'],
          ['sure and right', sharpness.sureRight, 'share'],
          ['entropy', sharpness.entropyBits, 'bits'],
          ['logged entropy', sharpness.loggedEntropyBits, 'bits'],
        ] as const;
        return rows.map(([rate, measured, unit]) => ({ rate, ...measuredCells(measured), unit }));
      },
    },
  );
}

export interface LeadRow extends MeasuredCells {
  readonly leadHours: number;
  readonly way: string;
}

/** Skill against the logged frequencies when deciding so many hours before. */
export function leadCurveTable(trust: CreekTrust): TidyTable<TrustKey & LeadRow> {
  return trustTable<LeadRow>(
    'lead curve',
    { leadHours: 'number', way: 'text', ...MEASURED },
    {
      trust,
      rows: ({ leadCurve }) =>
        (leadCurve?.points ?? []).flatMap(({ leadHours, effective, 'one-reading': oneReading }) => [
          { leadHours, way: 'effective', ...measuredCells(effective) },
          { leadHours, way: 'one-reading', ...measuredCells(oneReading) },
        ]),
    },
  );
}

export interface FloodRow {
  /** UTC, ISO 8601: first and last verdict. */
  readonly first: string;
  readonly last: string;
  readonly verdicts: number;
  readonly rps: number;
  readonly rpsFrequencies: number;
  readonly paretoK: number | null;
}

/** The floods that hold a verdict, with the mean score of each when it is left out. */
export function floodsTable(trust: CreekTrust): TidyTable<TrustKey & FloodRow> {
  return trustTable<FloodRow>(
    'floods',
    { first: 'text', last: 'text', verdicts: 'number', rps: 'number', rpsFrequencies: 'number', paretoK: 'number' },
    {
      trust,
      rows: ({ scores }) =>
        (scores?.floods ?? []).map(({ firstMs, lastMs, verdicts, rps, rpsFrequencies, paretoK }) => ({
          first: isoTime(firstMs),
          last: isoTime(lastMs),
          verdicts,
          rps,
          rpsFrequencies,
          paretoK,
        })),
    },
  );
}
