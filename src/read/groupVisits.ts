import type { Issue } from '../series/issue.js';
import { localDate, type ZoneClock } from '../series/time.js';
import { VERDICT, type Sighting, type Visit } from '../series/visits.js';

/** A sighting with the visit it was logged under ('' where the row names none). */
export interface LoggedSighting {
  readonly visit: string;
  readonly sighting: Sighting;
}

const DAY_MS = 86_400_000;

/**
 * Sightings that share the creek's state, as visits in time order. Rows that share `visit` are one visit; rows without it are one visit
 * where run, observer and local date agree. A visit is one run's: the same id used on two runs is two visits, because the runs have states
 * of their own.
 */
export function groupVisits(
  logged: readonly LoggedSighting[],
  clock: ZoneClock,
  file: string,
): { readonly visits: readonly Visit[]; readonly issues: readonly Issue[] } {
  const groups = new Map<string, { id: string; run: string; sightings: Sighting[] }>();
  for (const { visit, sighting } of logged) {
    const id = visit === '' ? `${sighting.run} ${localDate(sighting.timeMs, clock)} ${sighting.observer}` : visit;
    const key = JSON.stringify([visit === '' ? 0 : 1, id, sighting.run]);
    const group = groups.get(key);
    if (group === undefined) groups.set(key, { id, run: sighting.run, sightings: [sighting] });
    else group.sightings.push(sighting);
  }

  const uses = new Map<string, number>();
  for (const { id } of groups.values()) uses.set(id, (uses.get(id) ?? 0) + 1);
  const taken = new Set<string>();
  const issues: Issue[] = [];
  const visits = [...groups.values()].map(({ id, run, sightings }): Visit => {
    const times = sightings.map((sighting) => sighting.timeMs);
    const spanMs = Math.max(...times) - Math.min(...times);
    if (spanMs > DAY_MS)
      issues.push({
        code: 'visit-spread',
        severity: 'note',
        file,
        row: Math.min(...sightings.map((sighting) => sighting.row)),
        column: 'visit',
        found: `visit '${id}' with sightings ${Math.round(spanMs / 3_600_000)} h apart`,
        expected: 'one trip within 24 h',
        hint: 'Sightings of a visit share one state of the creek. Give different days different visits.',
      });
    const verdicts = sightings.filter((sighting) => sighting.feature === VERDICT).map((sighting) => sighting.timeMs);
    return Object.freeze({
      id: unusedId(uses.get(id)! > 1 ? `${id} (${run})` : id, taken),
      run,
      timeMs: mean(verdicts.length > 0 ? verdicts : times),
      sightings: Object.freeze([...sightings].sort((a, b) => a.timeMs - b.timeMs || a.row - b.row)),
    });
  });
  visits.sort((a, b) => a.timeMs - b.timeMs || (a.id < b.id ? -1 : 1));
  return { visits: Object.freeze(visits), issues };
}

/** The id, with a number behind it where a written id happens to equal a made one. */
function unusedId(id: string, taken: Set<string>): string {
  let free = id;
  for (let n = 2; taken.has(free); n++) free = `${id} #${n}`;
  taken.add(free);
  return free;
}

/** Mean time to the millisecond, by way of the differences from the first (sums of times would lose digits). */
function mean(times: readonly number[]): number {
  const first = times[0]!;
  return first + Math.round(times.reduce((sum, time) => sum + (time - first), 0) / times.length);
}
