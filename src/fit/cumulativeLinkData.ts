import type { CumulativeRows } from './cumulativeLinkRows.js';
import type { Link } from './types.js';

/** Covariates by name, each of length n. */
export type Covariates = Readonly<Record<string, Float64Array>>;

/** What `fitCumulativeLink` takes: n rows in columns. */
export interface CumulativeLinkData {
  /** Names, lowest first. */
  readonly classes: readonly string[];
  /** Index into `classes`. */
  readonly classIndex: Int32Array;
  /** Shift the whole scale: x of β. */
  readonly location?: Covariates;
  /** Move each threshold by its own amount: z of δ. A covariate stands here or under `location`, not both. */
  readonly nominal?: Covariates;
  /** Stretch the scale: w of ζ. */
  readonly scale?: Covariates;
  /** How many observations a row stands for; default 1 each. Rows of weight 0 do not count. */
  readonly weights?: Float64Array;
  /** Known part of the location; default 0. */
  readonly offset?: Float64Array;
  /** Group of the random intercept, 0 … G - 1; no random intercept where absent. */
  readonly group?: Int32Array;
}

/** Data found in order and packed for the inner loops. */
export interface CheckedRows {
  readonly rows: CumulativeRows;
  readonly classes: readonly string[];
  readonly classesSeen: readonly string[];
  readonly group?: Int32Array;
  readonly groups: number;
  /** Names of the parameters in their order. */
  readonly names: (withSd: boolean) => readonly { term: string; part: TermPart }[];
}

type TermPart = 'threshold' | 'nominal' | 'location' | 'scale' | 'sd';

const HERE = 'fitCumulativeLink';

export function checkedRows(
  data: CumulativeLinkData,
  { link, thresholds }: { link: Link; thresholds: 'free' | 'equidistant' },
): CheckedRows {
  const n = data.classIndex.length;
  const weights = column('weights', data.weights ?? new Float64Array(n).fill(1), n);
  weights.forEach((w, i) => {
    if (w < 0) throw new RangeError(`${HERE}: weights must not be negative, got ${w} at row ${i}`);
  });
  const offset = column('offset', data.offset ?? new Float64Array(n), n);
  const seen = new Set<number>();
  data.classIndex.forEach((k, i) => {
    if (!(k >= 0 && k < data.classes.length))
      throw new RangeError(`${HERE}: classIndex must be from 0 to ${data.classes.length - 1}, got ${k} at row ${i}`);
    if (weights[i] > 0) seen.add(k);
  });
  const order = [...seen].sort((a, b) => a - b);
  const equidistant = thresholds === 'equidistant';
  if (equidistant && order.length === 2)
    throw new RangeError(`${HERE}: equidistant thresholds need 3 classes that were seen, got 2`);
  const classesSeen = Object.freeze(order.map((k) => data.classes[k]));
  const blocks = { nominal: data.nominal ?? {}, location: data.location ?? {}, scale: data.scale ?? {} };
  const columns = (block: keyof typeof blocks): Float64Array[] =>
    Object.entries(blocks[block]).map(([name, values]) => column(`${block} '${name}'`, values, n));
  return {
    rows: {
      link: link === 'probit' ? 0 : 1,
      n,
      classes: order.length,
      equidistant,
      // A class without weight may still have rows; they never enter a sum.
      classIndex: data.classIndex.map((k) => Math.max(0, order.indexOf(k))),
      weights,
      offset,
      nominal: columns('nominal'),
      location: columns('location'),
      scale: columns('scale'),
    },
    classes: Object.freeze([...data.classes]),
    classesSeen,
    ...groupOf(data.group, n),
    names: (withSd) => {
      const edges = classesSeen.slice(1).map((name, k) => `${classesSeen[k]}|${name}`);
      const named = (part: TermPart, terms: readonly string[]): { term: string; part: TermPart }[] =>
        terms.map((term) => ({ term, part }));
      return [
        ...named('threshold', equidistant ? ['start', 'spacing'] : edges),
        ...Object.keys(blocks.nominal).flatMap((name) =>
          named(
            'nominal',
            edges.map((edge) => `${edge}.${name}`),
          ),
        ),
        ...named('location', Object.keys(blocks.location)),
        ...named('scale', Object.keys(blocks.scale)),
        ...named('sd', withSd ? ['random intercept'] : []),
      ];
    },
  };
}

function column(name: string, values: Float64Array, n: number): Float64Array {
  if (values.length !== n) throw new TypeError(`${HERE}: ${name} must have ${n} values, got ${values.length}`);
  values.forEach((value, i) => {
    if (!Number.isFinite(value)) throw new RangeError(`${HERE}: ${name} must be finite, got ${value} at row ${i}`);
  });
  return values;
}

function groupOf(group: Int32Array | undefined, n: number): { group?: Int32Array; groups: number } {
  if (group === undefined) return { groups: 0 };
  if (group.length !== n) throw new TypeError(`${HERE}: group must have ${n} values, got ${group.length}`);
  let most = -1;
  group.forEach((g, i) => {
    if (g < 0) throw new RangeError(`${HERE}: group must not be negative, got ${g} at row ${i}`);
    most = Math.max(most, g);
  });
  return { group, groups: most + 1 };
}
