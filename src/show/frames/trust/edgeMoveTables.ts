import type { CreekTrust, EdgeMove } from '../../../judge/judgement.js';
import type { TidyTable } from '../tidyTable.js';
import { isoTime, trustTable, type TrustKey } from './trustRows.js';

export interface LookRow {
  readonly feature: string;
  readonly from: number;
  readonly to: number;
  readonly unit: string;
  /** 0.1: the intervals of the good range's edges get 10 % narrower on average. */
  readonly shrinkage: number;
  readonly sentence: string;
}

/** The three most useful looks, best first. */
export function nextLooksTable(trust: CreekTrust): TidyTable<TrustKey & LookRow> {
  return trustTable<LookRow>(
    'next looks',
    { feature: 'text', from: 'number', to: 'number', unit: 'text', shrinkage: 'number', sentence: 'text' },
    {
      trust,
      rows: ({ nextLook, unit }) =>
        (nextLook?.looks ?? []).map(({ feature, from, to, shrinkage, sentence }) => ({
          feature,
          from,
          to,
          unit,
          shrinkage,
          sentence,
        })),
    },
  );
}

export interface LookValueRow {
  readonly gaugeValue: number;
  readonly unit: string;
  readonly shrinkage: number;
}

/** What one more verdict is worth at each gauge value. */
export function lookValuesTable(trust: CreekTrust): TidyTable<TrustKey & LookValueRow> {
  return trustTable<LookValueRow>(
    'look values',
    { gaugeValue: 'number', unit: 'text', shrinkage: 'number' },
    {
      trust,
      rows: ({ nextLook, unit }) =>
        (nextLook?.byValue ?? []).map(({ gaugeValue, shrinkage }) => ({ gaugeValue, unit, shrinkage })),
    },
  );
}

export interface InfluenceRow {
  readonly lower: string;
  readonly upper: string;
  readonly visit: string;
  /** UTC, ISO 8601. */
  readonly time: string;
  /** Lines of visits.csv. */
  readonly rows: string;
  readonly from: number;
  readonly to: number;
  readonly unit: string;
  /** In shares of the edge's 80 % interval. */
  readonly move: number;
  readonly method: string;
}

/** For each edge of the verdict the visit whose leaving out moves it most. */
export function influenceTable(trust: CreekTrust): TidyTable<TrustKey & InfluenceRow> {
  return trustTable<InfluenceRow>(
    'influence',
    {
      lower: 'text',
      upper: 'text',
      visit: 'text',
      time: 'text',
      rows: 'text',
      from: 'number',
      to: 'number',
      unit: 'text',
      move: 'number',
      method: 'text',
    },
    {
      trust,
      rows: ({ influence, unit }) =>
        (influence?.rows ?? []).map(({ between, visit, timeMs, rows, from, to, move, method }) => ({
          lower: between[0],
          upper: between[1],
          visit,
          time: isoTime(timeMs),
          rows: rows.join(' '),
          from,
          to,
          unit,
          move,
          method,
        })),
    },
  );
}

interface MoveCells {
  readonly lower: string;
  readonly upper: string;
  readonly from: number;
  readonly to: number;
  /** 80 % interval of the edge in the changed chart. */
  readonly low80: number | null;
  readonly high80: number | null;
  readonly unit: string;
  readonly move: number;
}

const MOVE = {
  lower: 'text',
  upper: 'text',
  from: 'number',
  to: 'number',
  low80: 'number',
  high80: 'number',
  unit: 'text',
  move: 'number',
} as const;

function moveCells({ between, from, to, i80, move }: EdgeMove, unit: string): MoveCells {
  return { lower: between[0], upper: between[1], from, to, low80: i80[0], high80: i80[1], unit, move };
}

export interface SensitivityRow extends MoveCells {
  readonly variant: string;
  readonly flagged: boolean;
}

/** Where each edge would stand under other assumptions. */
export function sensitivityTable(trust: CreekTrust): TidyTable<TrustKey & SensitivityRow> {
  return trustTable<SensitivityRow>(
    'sensitivity',
    { variant: 'text', ...MOVE, flagged: 'truth' },
    {
      trust,
      rows: ({ sensitivity, unit }) =>
        (sensitivity?.variants ?? []).flatMap(({ variant, edges, flagged }) =>
          edges.map((edge) => ({ variant, ...moveCells(edge, unit), flagged })),
        ),
    },
  );
}

export interface WithoutRow extends MoveCells {
  readonly observer: string;
}

/** Where each edge would stand without one observer's sightings. */
export function withoutTable(trust: CreekTrust): TidyTable<TrustKey & WithoutRow> {
  return trustTable<WithoutRow>(
    'without',
    { observer: 'text', ...MOVE },
    {
      trust,
      rows: ({ observers, unit }) =>
        observers.without.flatMap(({ observer, edges }) =>
          edges.map((edge) => ({ observer, ...moveCells(edge, unit) })),
        ),
    },
  );
}
