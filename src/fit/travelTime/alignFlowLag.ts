import { alignVisits } from '../../align/alignVisits.js';
import { keepVisits } from '../../align/keepVisits.js';
import type { Aligned } from '../../align/types.js';
import type { Creek, Run } from '../../series/creek.js';
import type { GaugeRecord } from '../../series/gaugeRecord.js';
import type { Visit } from '../../series/visits.js';
import { FLOW_LAG_PRIOR } from './lagAtFlow.js';
import { warpRecord } from './warpRecord.js';

/** Exponents tried. */
const EXPONENTS = [0, 0.2, 0.4, 0.6, 0.8];

/** Hours: few, for a question about the lag. */
const STORAGES = [0, 8];

export interface FlowLagOptions {
  /** L0, hours, ascending; default 0 to 12 in steps of one, those below the lead left out. */
  readonly lagsHours?: readonly number[];
  /** Must hold 0; default 0 and 8. */
  readonly storagesHours?: readonly number[];
  /** m, must hold 0; default 0 to 0.8 in steps of 0.2. */
  readonly exponents?: readonly number[];
  /** A reading must be there this many hours before; default 0. */
  readonly leadHours?: number;
}

/** Visits against a gauge whose lag depends on the flow. */
export interface FlowLagAligned {
  readonly kind: 'flow-lag-aligned';
  /** `lagsHours` is L0; `storagesHours` holds numbers of configurations, which are not hours. */
  readonly aligned: Aligned;
  /** Exponent and storage of configuration v. */
  readonly configurations: readonly { readonly exponent: number; readonly storageHours: number }[];
  /** Q0 in the gauge's unit above its offset: the median effective reading at the visits, so that L0 is the lag of a usual visit. */
  readonly flowAt: number;
  /** ln prior over the grid: normal in m around the wide channel's 0.4, half of it on "one lag for all flows" (m = 0). */
  readonly gridPrior: Float64Array;
}

/**
 * Put visits beside a gauge for every lag, exponent and storage, L = L0·(Q/Q0)^-m (see `lagAtFlow`, `warpRecord`). The result is fitted by
 * `fitLevels` with its `gridPrior`; `flowLag` does both.
 *
 * @returns visits without a reading at every point are left out, so that all exponents are judged by the same ones.
 * @throws RangeError where exponents or storages lack 0, or no lag is left.
 */
export function alignFlowLag(
  input: { readonly creek: Creek; readonly run: Run; readonly record: GaugeRecord; readonly visits: readonly Visit[] },
  {
    lagsHours = Array.from({ length: 13 }, (_, i) => i),
    storagesHours = STORAGES,
    exponents = EXPONENTS,
    leadHours = 0,
  }: FlowLagOptions = {},
): FlowLagAligned {
  const lags = lagsHours.filter((l) => l >= leadHours);
  if (lags.length === 0)
    throw new RangeError(`alignFlowLag: no lag of the grid is at or beyond the lead of ${leadHours} h`);
  if (!exponents.includes(0) || !storagesHours.includes(0))
    throw new RangeError(
      'alignFlowLag: exponents and storagesHours must hold 0 (one lag for all flows, the single reading)',
    );
  const plain = alignVisits(input, { lagsHours: lags, storagesHours: [0] });
  const flowAt = medianReading(plain);
  const configurations = exponents.flatMap((exponent) =>
    [...storagesHours].sort((a, b) => Math.abs(a) - Math.abs(b)).map((storageHours) => ({ exponent, storageHours })),
  );
  configurations.sort((a, b) => a.exponent - b.exponent);
  const points = configurations.flatMap(({ exponent, storageHours }) =>
    lags.map((lagHours) => {
      const record = warpRecord(input.record, { storageHours, lagHours, flowAt, exponent, atLeastHours: leadHours });
      return alignVisits({ ...input, record }, { lagsHours: [0], storagesHours: [0] });
    }),
  );
  const has = points.map((p) => new Set(p.visitIds));
  const cut = (aligned: Aligned): Aligned =>
    keepVisits(aligned, ({ id }) => plain.visitIds.includes(id) && has.every((ids) => ids.has(id)));
  const first = cut(plain);
  const own = points.map(cut);
  const glue = (of: 'x' | 'slope' | 'shift'): Float64Array => {
    const width = own[0][of].length;
    const out = new Float64Array(own.length * width);
    own.forEach((p, g) => out.set(p[of], g * width));
    return out;
  };
  return Object.freeze({
    kind: 'flow-lag-aligned' as const,
    aligned: Object.freeze({
      ...first,
      offset: 0,
      lagsHours: Float64Array.from(lags),
      storagesHours: Float64Array.from(configurations, (_, v) => v),
      x: glue('x'),
      slope: glue('slope'),
      shift: glue('shift'),
    }),
    configurations: Object.freeze(configurations.map((c) => Object.freeze(c))),
    flowAt,
    gridPrior: priorOf(configurations, lags.length),
  });
}

function medianReading({ x }: Aligned): number {
  const sorted = Array.from(x)
    .filter((v) => v === v)
    .sort((a, b) => a - b);
  return sorted.length === 0 ? 1 : Math.exp(sorted[sorted.length >> 1]);
}

function priorOf(configurations: FlowLagAligned['configurations'], lags: number): Float64Array {
  const density = (m: number): number => Math.exp(-0.5 * ((m - FLOW_LAG_PRIOR.exponent) / FLOW_LAG_PRIOR.sd) ** 2);
  const rising = configurations.filter(({ exponent }) => exponent > 0);
  const sum = rising.reduce((total, { exponent }) => total + density(exponent), 0);
  const fixed = configurations.length - rising.length;
  const share = configurations.map(({ exponent }) =>
    exponent > 0 ? (0.5 * density(exponent)) / sum : (rising.length > 0 ? 0.5 : 1) / fixed,
  );
  return Float64Array.from({ length: configurations.length * lags }, (_, g) =>
    Math.log(share[Math.floor(g / lags)] / lags),
  );
}
