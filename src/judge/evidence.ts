import type { Aligned } from '../align/types.js';
import type { Interval } from '../kernel/estimate.js';
import { goodClasses } from './goodClasses.js';
import { verdictCases } from './verdictCases.js';
import { VERDICT } from '../series/visits.js';

const DAY = 86_400_000;

/** What a chart rests on: the log counted, and what the record says of it. */
export interface Evidence extends LoggedEvidence {
  /** Days from the last visit to the gauge's last reading: how stale the log is by the record's own end. */
  readonly ageDays: number | null;
  /** Gauge values of the visits, in the gauge's unit, and of the whole record (5 % to 95 %). */
  readonly span: Interval;
  readonly recordSpan: Interval;
  /** Visits per calendar month, January first, in the creek's zone. */
  readonly monthCounts: readonly number[];
  /** Share of the readings approved by the agency; null where the file doesn't say. */
  readonly approvedShare: number | null;
  /** What is missing, a plain sentence each, worst first; empty if nothing is. */
  readonly missing: readonly string[];
}

/** The log, counted. */
export interface LoggedEvidence {
  readonly visits: number;
  /** Visits with a verdict. */
  readonly verdicts: number;
  /** Floods that hold a verdict. */
  readonly floods: number;
  /** Visits with a verdict in the fullest flood, as a share of all of them. */
  readonly fullestFloodShare: number;
  /** UTC; null without visits. */
  readonly firstVisitMs: number | null;
  readonly lastVisitMs: number | null;
  /** Days from the first to the last verdict. */
  readonly spanDays: number;
  /** Verdicts of each class, lowest first (two verdicts of one visit count a half each). */
  readonly classCounts: readonly number[];
  readonly limbs: { readonly rising: number; readonly steady: number; readonly falling: number };
  /** Verdicts below and above each edge of the good range, and those of the two classes that meet there. */
  readonly goodEdges: readonly {
    readonly between: readonly [string, string];
    readonly below: number;
    readonly above: number;
    readonly beside: number;
  }[];
}

/**
 * Counts the evidence of a run against one gauge: visits, floods, classes, seasons, limbs, both sides of the good range's edges.
 * Without visits the times are null and the counts 0.
 */
export function evidenceOf(aligned: Aligned): LoggedEvidence {
  const cases = verdictCases(aligned);
  const classes = aligned.features.find((f) => f.id === VERDICT)?.classes ?? [];
  const classCounts = new Array<number>(classes.length).fill(0);
  const perFlood = new Map<number, number>();
  for (let c = 0; c < cases.visit.length; c++) {
    classCounts[cases.classIndex[c]] += cases.weight[c];
    perFlood.set(cases.flood[c], (perFlood.get(cases.flood[c]) ?? 0) + cases.weight[c]);
  }
  const verdicts = new Set(cases.visit).size;
  const times = aligned.visitTimesMs;
  const verdictTimes = cases.timeMs;
  const limbs = { rising: 0, steady: 0, falling: 0 };
  for (const limb of aligned.limb) limbs[limb > 0 ? 'rising' : limb < 0 ? 'falling' : 'steady']++;
  return {
    visits: aligned.visitIds.length,
    verdicts,
    floods: cases.floods,
    fullestFloodShare: verdicts > 0 ? Math.max(...perFlood.values()) / verdicts : 0,
    firstVisitMs: times.length > 0 ? times.reduce((a, b) => Math.min(a, b)) : null,
    lastVisitMs: times.length > 0 ? times.reduce((a, b) => Math.max(a, b)) : null,
    spanDays:
      verdictTimes.length > 0
        ? (verdictTimes.reduce((a, b) => Math.max(a, b)) - verdictTimes.reduce((a, b) => Math.min(a, b))) / DAY
        : 0,
    classCounts: classCounts,
    limbs: limbs,
    goodEdges: goodEdges(classes, classCounts),
  };
}

function goodEdges(classes: readonly string[], counts: readonly number[]): Evidence['goodEdges'] {
  if (classes.length < 2) return [];
  const [low, high] = goodClasses(classes);
  const total = (from: number, to: number) => counts.slice(from, to).reduce((a, b) => a + b, 0);
  // With two classes the middle ones are both: their only edge is what the run is decided by.
  const edges = classes.length === 2 ? [0] : [low - 1, high].filter((k) => k >= 0 && k < classes.length - 1);
  return edges.map((k) => ({
    between: [classes[k], classes[k + 1]] as const,
    below: total(0, k + 1),
    above: total(k + 1, classes.length),
    beside: total(k, k + 2),
  }));
}
