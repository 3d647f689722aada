import type { CreekInput } from '../../read/types.js';
import { VERDICT } from '../../series/visits.js';
import { tidyTable, type TidyTable } from './tidyTable.js';

export interface SightingRow {
  readonly row: number;
  readonly visit: string;
  readonly run: string;
  /** UTC, ISO 8601. */
  readonly time: string;
  readonly month: number;
  readonly giveOrTakeMin: number;
  readonly feature: string;
  /** Class word; null for a number. */
  readonly class: string | null;
  readonly classIndex: number | null;
  readonly value: number | null;
  readonly observer: string;
}

/**
 * Every usable row of visits.csv, before any gauge enters. The month is that of the creek's own clock.
 * @returns no rows where creek.json could not be read.
 */
export function sightingsTable({ creek, visits }: CreekInput): TidyTable<SightingRow> {
  const month = new Intl.DateTimeFormat('en', { month: 'numeric', timeZone: creek?.timeZone ?? 'UTC' });
  const classesOf = (runId: string, feature: string): readonly string[] => {
    const run = creek?.runs.find(({ id }) => id === runId);
    return (feature === VERDICT ? run?.classes : run?.features.find(({ id }) => id === feature)?.classes) ?? [];
  };
  return tidyTable<SightingRow>(
    'sightings',
    {
      row: 'number',
      visit: 'text',
      run: 'text',
      time: 'text',
      month: 'number',
      giveOrTakeMin: 'number',
      feature: 'text',
      class: 'text',
      classIndex: 'number',
      value: 'number',
      observer: 'text',
    },
    visits.flatMap((visit) =>
      visit.sightings.map((sighting) => ({
        row: sighting.row,
        visit: visit.id,
        run: visit.run,
        time: new Date(sighting.timeMs).toISOString(),
        month: Number(month.format(sighting.timeMs)),
        giveOrTakeMin: sighting.giveOrTakeMin,
        feature: sighting.feature,
        class: classesOf(visit.run, sighting.feature)[sighting.classIndex] ?? null,
        classIndex: sighting.classIndex < 0 ? null : sighting.classIndex,
        value: Number.isFinite(sighting.value) ? sighting.value : null,
        observer: sighting.observer,
      })),
    ),
  );
}
