import { VERDICT } from '../series/visits.js';
import type { Aligned } from './types.js';

/** A visit as a filter sees it. */
export interface VisitLook {
  /** Its place among the visits, 0-based. */
  readonly index: number;
  readonly id: string;
  readonly timeMs: number;
  readonly flood: number;
}

/** A sighting as a filter sees it. */
export interface SightingLook {
  /** Its place among the sightings, 0-based. */
  readonly index: number;
  /** Place of its visit, 0-based. */
  readonly visit: number;
  readonly feature: string;
  readonly observer: string;
  /** 1-based line in visits.csv. */
  readonly row: number;
}

/**
 * The aligned visits without some: what `alignVisits` makes of the shorter log, without reading the gauge again. Features and observers
 * that nobody is left of drop out (the verdict stays), and floods are numbered anew without holes. Visits keep the flood that the whole log
 * put them in: the same as in the shorter log where whole floods leave; where the first visit of a long flood leaves, the shorter log might
 * end it later.
 *
 * @param aligned n visits, m sightings, G grid points.
 * @param keep true for the visits that stay.
 * @returns frozen, typed arrays of its own; with nothing left, arrays without entries.
 * @example keepVisits(aligned, ({ flood }) => flood !== 3)
 */
export function keepVisits(aligned: Aligned, keep: (visit: VisitLook) => boolean): Aligned {
  const stays = aligned.visitIds.map((id, index) =>
    keep({ index, id, timeMs: aligned.visitTimesMs[index], flood: aligned.flood[index] }),
  );
  return cut(aligned, ({ visit }) => stays[visit]);
}

/**
 * The aligned visits without some sightings. A visit that has none left drops out; the others keep their time, window and readings, also
 * where the sighting that gave the visit its time has left.
 *
 * @param keep true for the sightings that stay.
 * @example keepSightings(aligned, ({ observer }) => observer !== 'ida')
 */
export function keepSightings(aligned: Aligned, keep: (sighting: SightingLook) => boolean): Aligned {
  return cut(aligned, keep);
}

function cut(aligned: Aligned, keep: (sighting: SightingLook) => boolean): Aligned {
  const { sightingStart, nodeStart } = aligned;
  const n = aligned.visitIds.length;
  const m = aligned.sightingRow.length;
  const N = aligned.nodeWeight.length;
  const visits: number[] = [];
  const sightings: number[] = [];
  const starts: number[] = [0];
  const nodes: number[] = [];
  const nodeStarts: number[] = [0];
  for (let i = 0; i < n; i++) {
    for (let j = sightingStart[i]; j < sightingStart[i + 1]; j++) if (keep(look(aligned, i, j))) sightings.push(j);
    if (sightings.length === starts[starts.length - 1]) continue;
    visits.push(i);
    starts.push(sightings.length);
    for (let q = nodeStart[i]; q < nodeStart[i + 1]; q++) nodes.push(q);
    nodeStarts.push(nodes.length);
  }
  const rowsOf = Int32Array.from(sightings);
  const nodesOf = Int32Array.from(nodes);
  const visitsOf = Int32Array.from(visits);

  const seen = new Set(rowsOf.map((j) => aligned.sightingFeature[j]));
  const features = renumber(aligned.features, (f, index) => seen.has(index) || f.id === VERDICT);
  const heard = new Set(rowsOf.map((j) => aligned.sightingObserver[j]));
  const observers = renumber(aligned.observers, (_, index) => heard.has(index));
  const floods = new Map<number, number>();
  const flood = visitsOf.map((i) => {
    const old = aligned.flood[i];
    if (!floods.has(old)) floods.set(old, floods.size);
    return floods.get(old)!;
  });

  return Object.freeze({
    ...aligned,
    features: features.kept,
    observers: observers.kept,
    visitIds: visits.map((i) => aligned.visitIds[i]),
    visitTimesMs: Float64Array.from(visits, (i) => aligned.visitTimesMs[i]),
    sightingStart: Int32Array.from(starts),
    sightingFeature: rowsOf.map((j) => features.place[aligned.sightingFeature[j]]),
    sightingClass: rowsOf.map((j) => aligned.sightingClass[j]),
    sightingValue: Float64Array.from(sightings, (j) => aligned.sightingValue[j]),
    sightingObserver: rowsOf.map((j) => observers.place[aligned.sightingObserver[j]]),
    sightingRow: rowsOf.map((j) => aligned.sightingRow[j]),
    nodeStart: Int32Array.from(nodeStarts),
    nodeWeight: Float64Array.from(nodes, (q) => aligned.nodeWeight[q]),
    x: columns(aligned.x, { width: N, chosen: nodesOf }),
    slope: columns(aligned.slope, { width: n, chosen: visitsOf }),
    shift: columns(aligned.shift, { width: m, chosen: rowsOf }),
    flood,
    limb: Int8Array.from(visits, (i) => aligned.limb[i]),
  });
}

function look(aligned: Aligned, visit: number, index: number): SightingLook {
  return {
    index,
    visit,
    feature: aligned.features[aligned.sightingFeature[index]].id,
    observer: aligned.observers[aligned.sightingObserver[index]],
    row: aligned.sightingRow[index],
  };
}

/** Entries that stay, and the new place of each old one (-1: gone). */
function renumber<T>(
  list: readonly T[],
  stays: (entry: T, index: number) => boolean,
): { kept: readonly T[]; place: Int32Array } {
  const place = new Int32Array(list.length).fill(-1);
  const kept: T[] = [];
  list.forEach((entry, index) => {
    if (!stays(entry, index)) return;
    place[index] = kept.length;
    kept.push(entry);
  });
  return { kept, place };
}

/** The chosen columns of a matrix with rows of `width`. */
function columns(values: Float64Array, { width, chosen }: { width: number; chosen: Int32Array }): Float64Array {
  const rows = width === 0 ? 0 : values.length / width;
  const out = new Float64Array(rows * chosen.length);
  let at = 0;
  for (let r = 0; r < rows; r++) for (let c = 0; c < chosen.length; c++) out[at++] = values[r * width + chosen[c]];
  return out;
}
