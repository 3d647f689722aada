import type { EdgeHit, GridHit, Hit, Intervals, Outcome, Place } from './fitCreek.js';
import { rankTest, type RankTest } from './rankTest.js';

export interface Coverage {
  readonly cases: number;
  readonly in80: number;
  readonly in95: number;
  /** Three binomial standard errors below nominal: what is still within chance. */
  readonly least80: number;
  readonly least95: number;
}

/** Shares of truths inside their intervals, with the least that chance allows. */
export function coverage(hits: readonly Pick<Hit, 'in80' | 'in95'>[]): Coverage {
  const n = hits.length;
  const least = (p: number): number => p - 3 * Math.sqrt((p * (1 - p)) / n);
  return {
    cases: n,
    in80: share(hits, (h) => h.in80),
    in95: share(hits, (h) => h.in95),
    least80: least(0.8),
    least95: least(0.95),
  };
}

export interface EdgeCoverage extends Coverage {
  readonly meanAbsError: number;
  readonly meanWidth80: number;
}

export interface GridCoverage extends Coverage {
  /** Without the half step to the next grid point. */
  readonly strict80: number;
  readonly strict95: number;
}

/** One block of the committed summary: a world at a number of visits. */
export interface Block {
  readonly creeks: number;
  /** Fits that say that they found no proper maximum. */
  readonly withoutChart: number;
  /** By place on the feature: of the verdict, and of the other features. */
  readonly edges: Readonly<Record<'verdict' | 'features', Readonly<Partial<Record<Place, EdgeCoverage>>>>>;
  /** The same edges by whether visits lie on both sides. */
  readonly edgesSeenFromBothSides: EdgeCoverage;
  readonly edgesSeenFromOneSide: EdgeCoverage | null;
  readonly lag: GridCoverage & { readonly within1h: number };
  readonly storage: GridCoverage;
  readonly mismatch: Coverage;
  readonly blur: Coverage;
  /** Where the parameters come from the priors. */
  readonly ranks?: Readonly<Record<string, RankTest>>;
  readonly limbKept: number;
  readonly medianParetoK: number;
  readonly shareParetoKBelow07: number;
  readonly medianEffectiveDraws: number;
}

const PLACES: readonly Place[] = ['lower outer', 'middle', 'upper outer', 'only'];

/** @param outcomes of one world and number of visits, at least one with a chart. */
export function summarise(outcomes: readonly Outcome[]): Block {
  const charts = outcomes.flatMap((o) => o.intervals ?? []);
  const edges = charts.flatMap((c) => c.edges);
  const byPlace = (these: readonly EdgeHit[]) =>
    Object.fromEntries(
      PLACES.map((place) => [place, these.filter((e) => e.place === place)] as const)
        .filter(([, there]) => there.length > 0)
        .map(([place, there]) => [place, edgeCoverage(there)]),
    );
  const oneSided = edges.filter((e) => !e.seenBothSides);
  return {
    creeks: outcomes.length,
    withoutChart: outcomes.length - charts.length,
    edges: {
      verdict: byPlace(edges.filter((e) => e.feature === 'verdict')),
      features: byPlace(edges.filter((e) => e.feature !== 'verdict')),
    },
    edgesSeenFromBothSides: edgeCoverage(edges.filter((e) => e.seenBothSides)),
    edgesSeenFromOneSide: oneSided.length > 0 ? edgeCoverage(oneSided) : null,
    lag: { ...gridCoverage(charts.map((c) => c.lag)), within1h: share(charts, (c) => Math.abs(c.lag.error) <= 1) },
    storage: gridCoverage(charts.map((c) => c.storage)),
    mismatch: coverage(charts.map((c) => c.mismatch)),
    blur: coverage(charts.map((c) => c.blur)),
    ...(outcomes[0].world === 'priors' ? { ranks: rankTests(charts) } : {}),
    limbKept: charts.filter((c) => c.limbKept).length,
    medianParetoK: median(charts.map((c) => c.paretoK)),
    shareParetoKBelow07: share(charts, (c) => c.paretoK < 0.7),
    medianEffectiveDraws: median(charts.map((c) => c.effectiveDraws)),
  };
}

/** One rank a creek and quantity: the ranks of one creek are no independent witnesses. */
function rankTests(charts: readonly Intervals[]): Record<string, RankTest> {
  const of = (rank: (c: Intervals) => number) => rankTest(charts.map(rank));
  const verdict = charts[0].edges.filter((e) => e.feature === 'verdict');
  return {
    ...Object.fromEntries(verdict.map((_, k) => [`verdict edge ${k + 1}`, of((c) => c.edges[k].rank)])),
    lag: of((c) => c.lag.rank),
    storage: of((c) => c.storage.rank),
    mismatch: of((c) => c.mismatch.rank),
    blur: of((c) => c.blur.rank),
  };
}

function edgeCoverage(edges: readonly EdgeHit[]): EdgeCoverage {
  const mean = (value: (e: EdgeHit) => number) => edges.reduce((sum, e) => sum + value(e), 0) / edges.length;
  return { ...coverage(edges), meanAbsError: mean((e) => Math.abs(e.error)), meanWidth80: mean((e) => e.width80) };
}

function gridCoverage(hits: readonly GridHit[]): GridCoverage {
  return { ...coverage(hits), strict80: share(hits, (h) => h.strict80), strict95: share(hits, (h) => h.strict95) };
}

function share<T>(of: readonly T[], which: (item: T) => boolean): number {
  return of.filter(which).length / of.length;
}

function median(values: readonly number[]): number {
  return [...values].sort((a, b) => a - b)[Math.floor(values.length / 2)];
}
