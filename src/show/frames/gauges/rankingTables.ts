import type { CreekGauges } from '../../../chart/gauges/types.js';
import type { CombinedPart, RankedGauge } from '../../../judge/gauges/types.js';
import type { TidyTable } from '../tidyTable.js';
import { ESTIMATE, estimateCells, runsTable, type EstimateCells, type RunKey } from './gaugeRows.js';

export interface CandidateRow {
  /** `warning`: can be read before going; `confirming`: the creek leads it; `aside`: took no part. */
  readonly list: string;
  /** Within its list, from 1; null for one that stands aside. */
  readonly rank: number | null;
  readonly candidate: string;
  readonly name: string;
  /** `single`, `derived`, `combined`; null for one that stands aside. */
  readonly kind: string | null;
  readonly chosen: boolean;
  /** Official gauges that somebody has to look at. */
  readonly gauges: number | null;
  /** Ranked probability skill on floods left out, against the logged frequencies. */
  readonly skill: number | null;
  readonly low80: number | null;
  readonly high80: number | null;
  readonly rps: number | null;
  /** Probabilities over floods drawn anew. */
  readonly beatsFirst: number | null;
  readonly best: number | null;
  readonly creekLeads: number | null;
  readonly lagHours: number | null;
  readonly storageHours: number | null;
  readonly undependableShare: number | null;
  readonly status: string | null;
  readonly reason: string;
}

/** Every candidate of every run, one row each: those to be read before going, best first, those that only confirm, those that stand aside. */
export function candidatesTable(gauges: CreekGauges): TidyTable<RunKey & CandidateRow> {
  return runsTable<CandidateRow>(
    'candidates',
    {
      list: 'text',
      rank: 'number',
      candidate: 'text',
      name: 'text',
      kind: 'text',
      chosen: 'truth',
      gauges: 'number',
      skill: 'number',
      low80: 'number',
      high80: 'number',
      rps: 'number',
      beatsFirst: 'number',
      best: 'number',
      creekLeads: 'number',
      lagHours: 'number',
      storageHours: 'number',
      undependableShare: 'number',
      status: 'text',
      reason: 'text',
    },
    {
      gauges,
      rows: ({ ranking }) => {
        if (ranking === null) return [];
        const row = (list: string) => (candidate: RankedGauge) => candidateRow(candidate, list, ranking.choice.id);
        return [
          ...ranking.warning.map(row('warning')),
          ...ranking.confirming.map(row('confirming')),
          ...ranking.aside.map(({ id, name, reason }) => ({ ...UNRANKED, candidate: id, name, reason })),
        ];
      },
    },
  );
}

function candidateRow(
  { rank, id, name, kind, gauges, skill, rps, ...rest }: RankedGauge,
  list: string,
  chosen: string | null,
): CandidateRow {
  const { beatsFirst, best, creekLeads, lagHours, storageHours, undependableShare, status, reason } = rest;
  return {
    list,
    rank,
    candidate: id,
    name,
    kind,
    chosen: id === chosen,
    gauges,
    skill: skill.againstFrequencies.value,
    low80: skill.againstFrequencies.i80[0],
    high80: skill.againstFrequencies.i80[1],
    rps,
    beatsFirst,
    best,
    creekLeads,
    lagHours,
    storageHours,
    undependableShare,
    status,
    reason,
  };
}

const UNRANKED: CandidateRow = {
  list: 'aside',
  rank: null,
  candidate: '',
  name: '',
  kind: null,
  chosen: false,
  gauges: null,
  skill: null,
  low80: null,
  high80: null,
  rps: null,
  beatsFirst: null,
  best: null,
  creekLeads: null,
  lagHours: null,
  storageHours: null,
  undependableShare: null,
  status: null,
  reason: '',
};

export interface BeatsRow {
  readonly first: string;
  readonly second: string;
  /** Probability that the first scores better than the second over floods drawn anew. */
  readonly probability: number;
}

/** Pairs of candidates that can be read before going: both orders of each pair, without a candidate against itself. */
export function beatsTable(gauges: CreekGauges): TidyTable<RunKey & BeatsRow> {
  return runsTable<BeatsRow>(
    'beats',
    { first: 'text', second: 'text', probability: 'number' },
    {
      gauges,
      rows: ({ ranking }) =>
        (ranking?.warning ?? []).flatMap((a, i) =>
          ranking!.warning.flatMap((b, j) =>
            i === j ? [] : [{ first: a.id, second: b.id, probability: ranking!.beats[i]![j]! }],
          ),
        ),
    },
  );
}

export interface PartRow {
  readonly candidate: string;
  readonly gauge: string;
  readonly weight: number;
  readonly lagHours: number;
  readonly storageHours: number;
}

const PART = {
  candidate: 'text',
  gauge: 'text',
  weight: 'number',
  lagHours: 'number',
  storageHours: 'number',
} as const;

/** What each combined candidate is made of, averaged over the posterior, one row a gauge in it. */
export function partsTable(gauges: CreekGauges): TidyTable<RunKey & PartRow> {
  return runsTable<PartRow>('parts', PART, {
    gauges,
    rows: ({ ranking }) =>
      [...(ranking?.warning ?? []), ...(ranking?.confirming ?? [])].flatMap(({ id, parts }) => partRows(id, parts)),
  });
}

/** How a combined gauge that was chosen is read: the likeliest weights, lags and storages, on which its edges stand. */
export function combinedPartsTable(gauges: CreekGauges): TidyTable<RunKey & PartRow> {
  return runsTable<PartRow>('combined parts', PART, {
    gauges,
    rows: ({ combined }) => (combined === null ? [] : partRows(combined.id, combined.parts)),
  });
}

function partRows(candidate: string, parts: readonly CombinedPart[]): readonly PartRow[] {
  return parts.map(({ gauge, weight, lagHours, storageHours }) => ({
    candidate,
    gauge,
    weight,
    lagHours,
    storageHours,
  }));
}

export interface CombinedEdgeRow extends EstimateCells {
  readonly candidate: string;
  readonly lower: string;
  readonly upper: string;
  readonly unit: string;
  readonly rounded: number;
  readonly seenBothSides: boolean;
}

/** Edges of the verdict on the weighted mean, where a combined gauge was chosen. */
export function combinedEdgesTable(gauges: CreekGauges): TidyTable<RunKey & CombinedEdgeRow> {
  return runsTable<CombinedEdgeRow>(
    'combined edges',
    {
      candidate: 'text',
      lower: 'text',
      upper: 'text',
      unit: 'text',
      ...ESTIMATE,
      rounded: 'number',
      seenBothSides: 'truth',
    },
    {
      gauges,
      rows: ({ combined }) =>
        (combined?.edges ?? []).map(({ between, rounded, seenBothSides, ...edge }) => ({
          candidate: combined!.id,
          lower: between[0],
          upper: between[1],
          unit: combined!.unit,
          ...estimateCells(edge),
          rounded,
          seenBothSides,
        })),
    },
  );
}
