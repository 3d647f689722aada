import { scanIso, type IsoTime } from '../series/isoTime.js';
import type { SeriesRows } from './seriesRows.js';
import { codeOf, pointMetadata, type PointMetadata } from './waterml2Metadata.js';
import { attribute, child, each, parsePiece, textOf, type CutXml, type XmlNode } from './xmlPieces.js';

/**
 * The plain form of a point, which is nearly every one: time (or none), value, then metadata or nothing. Anything else goes through the
 * parser as a whole.
 */
const opens = (name: string) => `<[\\w.:-]*${name}\\s*>\\s*`;
const holds = (name: string) => `<[\\w.:-]*${name}\\s*>([^<&]*)</[\\w.:-]*${name}\\s*>`;
const PLAIN_POINT = new RegExp(
  `^${opens('point')}${opens('MeasurementTVP')}(?:${holds('time')}\\s*)?${holds('value')}([\\s\\S]*)$`,
);

/** Distinct metadata texts remembered; a file that writes each reading's differently must not fill the memory. */
const MOST_METADATA = 10_000;

/** Where the points of a series without times of their own stand: the first at `baseTime`, each next one `spacingMs` later. */
export interface Equidistant {
  readonly baseTime: string;
  readonly spacingMs: number;
}

interface Points {
  readonly text: string;
  readonly cut: CutXml;
  readonly timeseries: XmlNode;
  readonly defaults: PointMetadata;
  readonly equidistant: Equidistant | undefined;
  readonly rows: SeriesRows;
}

/**
 * Gives each point of a time series to `rows`. A point that holds neither time nor value is no reading, unless its place in an equidistant
 * series gives it a time.
 * @returns the units that the points are in
 */
export function takePoints({ text, cut, timeseries, defaults, equidistant, rows }: Points): ReadonlySet<string> {
  const units = new Set<string>();
  const timeOf = clockOf(equidistant);
  let place = 0;

  const take = (time: string | undefined, value: string | undefined, own: PointMetadata, code: string) => {
    const told = time ?? timeOf(place);
    place++;
    if (told === undefined && value === undefined) return;
    const unit = own.unit ?? defaults.unit;
    if (unit !== undefined && units.size < 3) units.add(unit);
    rows.add(told ?? '', value ?? '', code);
  };

  // Readings repeat the same few metadata texts word by word, so each is parsed once.
  const known = new Map<string, { readonly own: PointMetadata; readonly code: string }>();
  const ofRest = (rest: string) => {
    const before = known.get(rest);
    if (before !== undefined) return before;
    const node = parsePiece(`<point><MeasurementTVP>${rest}`);
    const own = pointMetadata(child(node, 'point', 'MeasurementTVP', 'metadata', 'TVPMeasurementMetadata'));
    const found = { own, code: codeOf(own, defaults) };
    if (known.size < MOST_METADATA) known.set(rest, found);
    return found;
  };

  for (const group of each(timeseries.cut)) {
    const g = Number(attribute(group, 'n'));
    for (let p = cut.groups[g]!; p < cut.groups[g + 1]!; p++) {
      const piece = text.slice(cut.starts[p], cut.ends[p]);
      const plain = PLAIN_POINT.exec(piece);
      if (plain !== null) {
        const { own, code } = ofRest(plain[3]!);
        take(plain[1]?.trim() || undefined, plain[2]!.trim() || undefined, own, code);
        continue;
      }
      const pair = child(parsePiece(piece), 'point', 'MeasurementTVP');
      const valueNode = child(pair, 'value');
      const own = pointMetadata(child(pair, 'metadata', 'TVPMeasurementMetadata'));
      const nil = attribute(valueNode, 'nilReason') ?? '';
      const code = codeOf(nil === '' ? own : { ...own, nil: [own.nil, nil].join(' ').trim() }, defaults);
      // A point that is no pair of time and value, or that breaks off, is a reading that is lost.
      const broken = pair === undefined && piece.replace(/<[^>]*>/g, '').trim() !== '';
      take(textOf(child(pair, 'time')), textOf(valueNode) ?? (broken ? '?' : undefined), own, code);
    }
  }
  return units;
}

/** The time of the point at a place, as text; undefined where the series has no base and spacing to tell it by. */
function clockOf(equidistant: Equidistant | undefined): (place: number) => string | undefined {
  if (equidistant === undefined) return () => undefined;
  const { baseTime, spacingMs } = equidistant;
  const iso: IsoTime = { localMs: NaN, offsetMs: NaN, dateOnly: false };
  if (!scanIso(baseTime, 0, baseTime.length, iso)) return () => undefined;
  const { localMs, offsetMs, dateOnly } = iso;
  const days = dateOnly && spacingMs % 86_400_000 === 0;
  const told = offsetMs === offsetMs;
  if (!told && !days) return () => undefined;
  return (place) => {
    const ms = localMs - (told ? offsetMs : 0) + place * spacingMs;
    if (!(Math.abs(ms) < 8.64e15)) return undefined;
    const text = new Date(ms).toISOString();
    return days ? text.slice(0, 10) : text;
  };
}
