import type { CreekTrust, JudgedCost } from '../../../judge/judgement.js';
import type { Rule } from '../../../judge/rule.js';
import type { TidyTable } from '../tidyTable.js';
import { MEASURED, measuredCells, trustTable, type MeasuredCells, type TrustKey } from './trustRows.js';

export interface FrontierRow {
  readonly atLeast: number;
  readonly atMost: number;
  readonly unit: string;
  /** Shares as the left-out odds expect them: of the days gone, of the days gone, of the good days. */
  readonly tooHigh: number;
  readonly wasted: number;
  readonly missed: number;
}

/** Rules that no other beats in both "too high" and days lost, the most careful first. */
export function rulesTable(trust: CreekTrust): TidyTable<TrustKey & FrontierRow> {
  return trustTable<FrontierRow>(
    'rules',
    { atLeast: 'number', atMost: 'number', unit: 'text', tooHigh: 'number', wasted: 'number', missed: 'number' },
    {
      trust,
      rows: ({ rules, unit }) =>
        (rules?.frontier ?? []).map(({ atLeast, atMost, tooHigh, wasted, missed }) => ({
          atLeast,
          atMost,
          unit,
          tooHigh,
          wasted,
          missed,
        })),
    },
  );
}

export interface RuleCostRow extends MeasuredCells {
  /** `chosen`, `chosen, each flood left out`, `sure range of good`. */
  readonly rule: string;
  readonly atLeast: number;
  readonly atMost: number;
  readonly unit: string;
  /** `wasted` and `too high` of the days gone, `missed` of the good days. */
  readonly cost: string;
  readonly days: number;
}

/** What the chosen rule, and going within the sure range of good, would have cost on the logged days. */
export function ruleCostsTable(trust: CreekTrust): TidyTable<TrustKey & RuleCostRow> {
  return trustTable<RuleCostRow>(
    'rule costs',
    { rule: 'text', atLeast: 'number', atMost: 'number', unit: 'text', cost: 'text', ...MEASURED, days: 'number' },
    {
      trust,
      rows: ({ rules, unit }) => {
        const costs = (name: string, { atLeast, atMost }: Rule, cost: JudgedCost): RuleCostRow[] => {
          const base = { rule: name, atLeast, atMost, unit };
          return [
            { ...base, cost: 'wasted', ...measuredCells(cost.wasted), days: cost.goDays },
            { ...base, cost: 'too high', ...measuredCells(cost.tooHigh), days: cost.goDays },
            { ...base, cost: 'missed', ...measuredCells(cost.missed), days: cost.goodDays },
          ];
        };
        const chosen = rules?.chosen ?? null;
        const sure = rules?.sureGood ?? null;
        return [
          ...(chosen === null
            ? []
            : [
                ...costs('chosen', chosen.rule, chosen.cost),
                ...costs('chosen, each flood left out', chosen.rule, chosen.costLeftOut),
              ]),
          ...(sure === null ? [] : costs('sure range of good', sure.rule, sure.cost)),
        ];
      },
    },
  );
}
