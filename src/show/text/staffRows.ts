import type { GaugeChart, LevelChart, RunChart } from '../../chart/types.js';
import { VERDICT } from '../../series/visits.js';
import { edgeTexts, seenTexts, sureText, unitColumns, type UnitsChoice } from './inUnits.js';

/** One line of the staff: a class, the edge between two classes, or the limit of what any visit has met. */
export interface StaffRow {
  readonly kind: 'class' | 'edge' | 'not-seen';
  /** Class word, `low / good`, or `not seen`. */
  readonly label: string;
  /** One cell a unit. `value` is an edge's number, set apart from the rest of the cell. */
  readonly cells: readonly { readonly value: string; readonly rest: string }[];
  /** False for an edge with no visit on one side: the number is the prior's. */
  readonly seenBothSides: boolean;
}

/** A level chart as a staff, highest water first, in the units asked for. */
export function staffRows(
  run: RunChart,
  gauge: GaugeChart,
  { level, units }: { level: LevelChart; units: UnitsChoice },
): { readonly units: readonly string[]; readonly rows: readonly StaffRow[] } {
  const columns = unitColumns(gauge.gauge, units);
  const edges = level.edges.filter((edge) => edge.feature === VERDICT);
  const seen = columns.map((column) => seenTexts(level, column));
  const text = (rest: string) => ({ value: '', rest });
  const row = (kind: StaffRow['kind'], label: string, cells: StaffRow['cells'], seenBothSides = true): StaffRow => ({
    kind,
    label,
    cells,
    seenBothSides,
  });
  const above = row(
    'not-seen',
    'not seen',
    seen.map(({ to }) => text(`above ${to}`)),
  );
  const below = row(
    'not-seen',
    'not seen',
    seen.map(({ from }) => text(`below ${from}`)),
  );
  const rows: StaffRow[] = [];
  // The limits stand where they fall among the edges: a chart must not look seen up to its top class when it is not.
  if (edges.every((edge) => edge.median <= level.seen.to)) rows.push(above);
  for (let k = run.classes.length - 1; k >= 0; k--) {
    const range = level.sureRanges.find((sure) => sure.class === run.classes[k]);
    const sure = columns.map((column, c) => {
      if (range === undefined) return text('');
      const bounds = sureText(range, column, { lowest: k === 0, highest: k === run.classes.length - 1 });
      if (bounds !== undefined) return text(`sure ${bounds}`);
      return text(c === 0 ? `never sure (at best ${Math.floor(100 * range.bestOdds)} %)` : '');
    });
    rows.push(row('class', run.classes[k]!, sure));
    const edge = edges[k - 1];
    if (edge === undefined) continue;
    const upper = edges[k]?.median ?? Infinity;
    if (edge.median < level.seen.from && level.seen.from <= upper) rows.push(below);
    const texts = columns.map((column) => edgeTexts(edge, column));
    rows.push(
      row(
        'edge',
        `${edge.between[0]} / ${edge.between[1]}`,
        texts.map(({ value, interval80 }) => ({ value, rest: `(${interval80})` })),
        edge.seenBothSides,
      ),
    );
    const lower = edges[k - 2]?.median ?? -Infinity;
    if (lower <= level.seen.to && level.seen.to < edge.median) rows.push(above);
  }
  if (edges.every((edge) => level.seen.from <= edge.median)) rows.push(below);
  return { units: columns.map((column) => column.label), rows };
}
