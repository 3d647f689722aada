import type { Outcome } from './fitCreek.js';

interface Coverage {
  readonly cases: number;
  readonly in80: number;
  readonly in95: number;
  /** Three binomial standard errors below nominal: what is still within chance. */
  readonly least80: number;
  readonly least95: number;
}

/** Shares of truths inside the intervals, with the least that chance allows. */
export function coverage(hits: readonly { readonly in80: boolean; readonly in95: boolean }[]): Coverage {
  const n = hits.length;
  const least = (p: number): number => round(p - 3 * Math.sqrt((p * (1 - p)) / n));
  return {
    cases: n,
    in80: round(hits.filter((h) => h.in80).length / n),
    in95: round(hits.filter((h) => h.in95).length / n),
    least80: least(0.8),
    least95: least(0.95),
  };
}

/** One block of the committed summary: a world at a number of visits. */
export function summarise(all: readonly Outcome[]): Record<string, unknown> {
  // A fit that found no proper maximum says so and draws no chart: it has no intervals to be right or wrong.
  const outcomes = all.filter((o) => o.edges.length > 0);
  const names = ['too low | low', 'low | good', 'good | high', 'high | too high'];
  const edges = outcomes.flatMap((o) => o.edges);
  const ks = outcomes.map((o) => o.paretoK).sort((a, b) => a - b);
  return {
    creeks: all.length,
    withoutChart: all.length - outcomes.length,
    edges: Object.fromEntries(
      names.map((name, k) => {
        const these = outcomes.map((o) => o.edges[k]);
        return [
          name,
          {
            ...coverage(these),
            meanAbsError: mean(these.map((e) => Math.abs(e.error))),
            meanWidth80: mean(these.map((e) => e.width80)),
          },
        ];
      }),
    ),
    edgesSeenFromBothSides: coverage(edges.filter((e) => e.seenBothSides)),
    edgesSeenFromOneSide: edges.some((e) => !e.seenBothSides) ? coverage(edges.filter((e) => !e.seenBothSides)) : null,
    lag: {
      ...coverage(outcomes.map((o) => o.lag)),
      within1h: round(outcomes.filter((o) => Math.abs(o.lag.error) <= 1).length / outcomes.length),
    },
    storage: coverage(outcomes.map((o) => o.storage)),
    mismatch: coverage(outcomes.map((o) => o.mismatch)),
    medianParetoK: round(ks[Math.floor(ks.length / 2)]),
    shareParetoKBelow07: round(ks.filter((k) => k < 0.7).length / ks.length),
  };
}

function mean(values: readonly number[]): number {
  return round(values.reduce((a, b) => a + b, 0) / values.length);
}

function round(value: number): number {
  return Math.round(value * 1000) / 1000;
}
