import { naturalLayout, parametersOf, type GaugeSide, type LevelData, type NaturalLayout } from './levelData.js';

/** Most nodes of one visit; where more would be wanted (a blur hundreds of times smaller than the mismatch) they stand wider apart. */
export const MAX_NODES = 512;

/** Nodes laid beyond the last that counts, so that a window still holds when parameters move a little. */
export const SPARE_NODES = 2;

/**
 * What the parts of the likelihood share: the parameters and the gauge side of the present call, and arrays that are written again for
 * every visit, so that nothing is allocated in a loop over rows.
 */
export interface Workspace {
  readonly data: LevelData;
  readonly layout: NaturalLayout;
  readonly visits: number;
  natural: Float64Array;
  side: GaugeSide;
  /** σ, and s or η of each feature, from their logs. */
  sigma: number;
  readonly width: Float64Array;
  /** 1 where any node of a visit's window has a gauge value (n). */
  readonly matched: Uint8Array;
  /** Equidistant values of c: lo + k·step, k < count. */
  lo: number;
  step: number;
  count: number;
  /** The integrand at them, divided by a common factor. */
  readonly integrand: Float64Array;
}

export function createWorkspace(data: LevelData): Workspace {
  const visits = data.sightingStart.length - 1;
  const none = new Float64Array(0);
  return {
    data,
    layout: naturalLayout(data.featureKind, data.observers),
    visits,
    natural: none,
    side: { x: none, slope: none, shift: none, mean: 0, sd: 1 },
    sigma: 1,
    width: new Float64Array(data.featureKind.length),
    matched: new Uint8Array(visits),
    lo: 0,
    step: 1,
    count: 0,
    integrand: new Float64Array(MAX_NODES + 2 * SPARE_NODES),
  };
}

/** Take up the parameters and the gauge side of a call. */
export function begin(work: Workspace, natural: Float64Array, side: GaugeSide): void {
  const { data, layout, matched, width } = work;
  work.natural = natural;
  work.side = side;
  work.sigma = Math.exp(natural[layout.lnSigma]);
  for (let f = 0; f < width.length; f++)
    width[f] = Math.exp(natural[layout.featureStart[f] + parametersOf(data.featureKind[f]) - 1]);
  for (let i = 0; i < matched.length; i++) {
    matched[i] = 0;
    for (let q = data.nodeStart[i]; q < data.nodeStart[i + 1]; q++) if (side.x[q] === side.x[q]) matched[i] = 1;
  }
}

/** What is known of y - c for a sighting: the shift of its place and time, and its observer's bias. */
export function knownOffset({ data, layout, natural, side }: Workspace, j: number): number {
  return side.shift[j] + natural[layout.bias + data.sightingObserver[j]];
}
