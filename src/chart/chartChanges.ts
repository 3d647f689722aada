import type { Grade } from '../judge/types.js';
import type { GaugeUnit } from '../series/units.js';
import { VERDICT } from '../series/visits.js';
import type { CreekChart, Edge, GaugeChart, RunChart } from './types.js';

/** What a chart says differently from the one before it. */
export interface ChartChanges {
  readonly kind: 'chart-changes';
  /** Runs that differ in anything. */
  readonly runs: readonly RunChanges[];
}

export interface RunChanges {
  readonly id: string;
  readonly name: string;
  /** Names of visits that only one of the two charts was made with. */
  readonly added: readonly string[];
  readonly left: readonly string[];
  /** Name of the gauge to read, null where none was or is to be relied on; undefined where it is the same. */
  readonly gauge?: Pair<string | null>;
  /** Of the run's best gauge. */
  readonly grade?: Pair<Grade>;
  /** Verdict edges whose printed number changed, by a gauge that both charts read. */
  readonly edges: readonly EdgeMove[];
}

export interface Pair<T> {
  readonly before: T;
  readonly after: T;
}

/** An edge that moved, in the gauge's unit. */
export interface EdgeMove extends Pair<Pick<Edge, 'rounded' | 'digits'>> {
  readonly between: readonly [string, string];
  readonly unit: GaugeUnit;
  /** The new median lies outside the 80 % interval that the edge had before. */
  readonly beyond: boolean;
}

/**
 * Compares a chart with the one made before it: which visits came or left, whether the gauge to read or its grade changed, and which edges
 * moved. Runs that only one of them has are left out, as are runs without any difference.
 */
export function chartChanges(before: CreekChart, after: CreekChart): ChartChanges {
  const runs = after.runs.flatMap((run) => {
    const old = before.runs.find(({ id }) => id === run.id);
    const changes = old === undefined ? undefined : runChanges(old, run);
    return changes === undefined ? [] : [changes];
  });
  return { kind: 'chart-changes', runs };
}

function runChanges(before: RunChart, after: RunChart): RunChanges | undefined {
  const [had, has] = [visitsOf(before), visitsOf(after)];
  const [old, now] = [read(before), read(after)];
  const [oldName, nowName] = [before, after].map((run) =>
    run.recommended === null ? null : (read(run)?.gauge.name ?? null),
  );
  const same = before.gauges.find(({ gauge }) => gauge.id === now?.gauge.id);
  const changes: RunChanges = {
    id: after.id,
    name: after.name,
    added: [...has].filter((visit) => !had.has(visit)),
    left: [...had].filter((visit) => !has.has(visit)),
    ...(oldName !== nowName && { gauge: { before: oldName!, after: nowName! } }),
    ...(old &&
      now &&
      old.trust.grade !== now.trust.grade && { grade: { before: old.trust.grade, after: now.trust.grade } }),
    edges: same === undefined || now === undefined ? [] : movesOf(same, now),
  };
  const { added, left, gauge, grade, edges } = changes;
  return added.length + left.length + edges.length > 0 || gauge || grade ? changes : undefined;
}

/** The gauge to read; without one, the best. */
function read({ gauges, recommended }: RunChart): GaugeChart | undefined {
  return gauges.find(({ gauge }) => gauge.id === recommended) ?? gauges[0];
}

function visitsOf({ gauges }: RunChart): ReadonlySet<string> {
  return new Set(gauges.flatMap(({ visits }) => visits.map(({ visit }) => visit)));
}

function movesOf(before: GaugeChart, after: GaugeChart): readonly EdgeMove[] {
  return (after.level?.edges ?? []).flatMap((edge): readonly EdgeMove[] => {
    const old = before.level?.edges.find(
      ({ feature, between }) => feature === edge.feature && between.join('\n') === edge.between.join('\n'),
    );
    if (edge.feature !== VERDICT || old === undefined || old.rounded === edge.rounded) return [];
    const beyond = !(edge.median >= (old.i80[0] ?? NaN) && edge.median <= (old.i80[1] ?? NaN));
    const shown = ({ rounded, digits }: Edge) => ({ rounded, digits });
    return [{ between: edge.between, unit: after.gauge.unit, before: shown(old), after: shown(edge), beyond }];
  });
}
