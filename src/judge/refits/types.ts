import type { Aligned } from '../../align/types.js';
import type { LevelFits } from '../../fit/fitLevels.js';
import type { FitStatus, ReadingWay, Way } from '../../fit/types.js';
import type { Question, WarmStart } from '../../fit/warmStart.js';
import type { Creek, Run } from '../../series/creek.js';
import type { GaugeRecord } from '../../series/gaugeRecord.js';
import type { Visit } from '../../series/visits.js';
import type { FirstScores } from '../firstScores.js';
import type {
  JudgedEdge,
  JudgedInfluence,
  JudgedLeadCurve,
  JudgedNextLook,
  JudgedObservers,
  JudgedSensitivity,
  JudgedSuspects,
} from '../judgement.js';
import type { LeftOut } from '../leaveFloodOut.js';

/** One run against one gauge, with everything that fits of their own are made from. */
export interface JudgedRelation {
  readonly creek: Creek;
  readonly run: Run;
  readonly record: GaugeRecord;
  /** The creek's visits as read; those of other runs are passed over. */
  readonly visits: readonly Visit[];
  /** The visits that `fits` was made from. */
  readonly aligned: Aligned;
  readonly fits: LevelFits;
  /** ln prior of each grid point that `fits` was made with (a logger's); every fit of the judgement carries it. Absent where it is flat. */
  readonly gridPrior?: Float64Array;
}

export interface PlanOptions {
  /** Whole number; default 1. */
  readonly seed?: number;
  /** Default: made here. */
  readonly first?: FirstScores;
  /**
   * `visits`: each visit held against the gauge, and which look would tell most. `doubtful-floods`: the floods whose weights are not to be
   * relied on, and nothing else. `edges`: both, what other assumptions, single visits and observers would say, and what deciding early
   * costs. `thorough`: the same with a fit of its own for every flood and for each visit that moves an edge. `floods`: every flood, and
   * each visit held against the gauge. Default 'edges'.
   */
  readonly depth?: 'visits' | 'doubtful-floods' | 'edges' | 'thorough' | 'floods';
  /** Hours of the lead curve; those below the chart's own lead and beyond the largest lag are passed over. Default 0, 1, 2, 4, 8, 12. */
  readonly leads?: readonly number[];
}

/** Everything to be fitted for one relation: plain data, so that it can go to other cores. */
export interface RelationPlan {
  readonly kind: 'relation-plan';
  readonly context: JudgeContext;
  readonly tasks: readonly JudgeTask[];
}

/** What all tasks of a relation share. */
export interface JudgeContext {
  /** In words, for progress and errors. */
  readonly label: string;
  readonly relation: JudgedRelation;
  readonly first: FirstScores;
  readonly seed: number;
  readonly way: ReadingWay;
  readonly depth: NonNullable<PlanOptions['depth']>;
  /** Whether any task needs left-out floods, or edges, to start from. */
  readonly starts: { readonly floods: boolean; readonly edges: boolean };
  /** Where each edge's median would lie without each visit, by importance weights: influence[edge][visit], in x. */
  readonly influence: readonly (readonly number[])[];
}

/** The ways that a left-out flood is predicted by, in the order of its answers. */
export const WAYS: readonly Way[] = Object.freeze(['effective', 'one-reading', 'as-it-stands']);

export function questionsOf({ fits }: JudgedRelation): readonly Question[] {
  return WAYS.map((way) => ({ way, leadHours: fits.effective.leadHours }));
}

/** Where the fits of a relation start; made once. Null where there is no fit to start from, or nothing needs it. */
export interface Prepared {
  readonly floods: WarmStart | null;
  readonly edges: WarmStart | null;
}

/** One fit of its own: small plain data. `id` is unique within its relation. */
export type JudgeTask =
  | { readonly kind: 'suspects'; readonly id: string }
  | { readonly kind: 'next-look'; readonly id: string }
  | { readonly kind: 'flood'; readonly id: string; readonly flood: number }
  | { readonly kind: 'lead'; readonly id: string; readonly leadHours: number }
  | { readonly kind: 'observer'; readonly id: string; readonly observer: string }
  | { readonly kind: 'visit'; readonly id: string; readonly visit: number }
  | { readonly kind: 'variant'; readonly id: string; readonly variant: Variant }
  | { readonly kind: 'span'; readonly id: string; readonly span: 'before' | 'after' };

export type Variant = JudgedSensitivity['variants'][number]['variant'];

/** What came of one task; plain data. */
export type JudgeResult = SuspectsResult | NextLookResult | FloodResult | LeadResult | EdgesResult;

export interface SuspectsResult {
  readonly kind: 'suspects';
  readonly id: string;
  readonly suspects: JudgedSuspects;
}

export interface NextLookResult {
  readonly kind: 'next-look';
  readonly id: string;
  readonly nextLook: JudgedNextLook | null;
}

/** The odds of a flood's verdicts by fits that never saw it. `status` says why where there is nothing. */
export interface FloodResult {
  readonly kind: 'flood';
  readonly id: string;
  readonly status: FitStatus;
  readonly flood: number;
  /** One entry a way; null without a fit. */
  readonly answers: readonly (FloodAnswer | null)[];
}

export interface FloodAnswer {
  /** P(class) of each case of the flood in order (the share without a reading left out): probability[c·K + k]. */
  readonly probability: Float64Array;
  /** Share of the weight of each case that found no reading. */
  readonly missing: Float64Array;
  readonly paretoK: number;
  /** Effective share of the draws. */
  readonly effective: number;
}

/** The odds for floods left out, by weights, of a chart made for deciding so many hours before; null where none could be made. */
export interface LeadResult {
  readonly kind: 'lead';
  readonly id: string;
  readonly leadHours: number;
  readonly left: LeftOut | null;
}

/** The verdict's edges by one fit. */
export interface EdgesResult {
  readonly kind: 'edges';
  readonly id: string;
  readonly status: FitStatus;
  /** Visits that took part. */
  readonly visits: number;
  /** Empty without a fit. */
  readonly edges: readonly JudgedEdge[];
}

/** All that the fits of one relation told. */
export interface RelationRefits {
  readonly depth: JudgeContext['depth'];
  /**
   * Floods left out by fits of their own where those were made, else by weights; null where a way could not be fitted or nobody gave a
   * verdict.
   */
  readonly leftOut: Readonly<Record<Way, LeftOut | null>>;
  /** Undefined where it was not asked. */
  readonly suspects: JudgedSuspects | undefined;
  /** Undefined where it was not asked. */
  readonly nextLook: JudgedNextLook | null | undefined;
  readonly leadCurve: JudgedLeadCurve | null;
  readonly without: JudgedObservers['without'];
  readonly influence: JudgedInfluence | null;
  readonly sensitivity: JudgedSensitivity | null;
  readonly before: readonly JudgedEdge[] | null;
  readonly after: readonly JudgedEdge[] | null;
  /** Plain sentences: what could not be fitted, and how often. */
  readonly problems: readonly string[];
}
