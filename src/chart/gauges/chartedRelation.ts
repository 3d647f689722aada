import type { Run } from '../../series/creek.js';
import type { FittedCreek, Relation } from '../fitCreek.js';
import type { CreekChart, GaugeChart } from '../types.js';

/** A relation of a run and what the chart says of it. */
export interface ChartedRelation {
  readonly relation: Relation;
  readonly chart: GaugeChart;
}

/** The run's relations that were fitted, in the order of creek.json, with their charts. */
export function chartedRelations({ relations }: FittedCreek, chart: CreekChart, run: Run): readonly ChartedRelation[] {
  const charts = chart.runs.find(({ id }) => id === run.id)?.gauges ?? [];
  return relations.flatMap((relation): ChartedRelation[] => {
    const own = charts.find(({ gauge }) => gauge.id === relation.record.gauge);
    return relation.run.id === run.id && own?.level !== undefined ? [{ relation, chart: own }] : [];
  });
}
