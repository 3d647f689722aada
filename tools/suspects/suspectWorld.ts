import type { Aligned } from '../../src/align/types.js';
import { createRandom } from '../../src/kernel/random.js';

const HOUR = 3_600_000;
const FIVE = ['too low', 'low', 'good', 'high', 'too high'];
const LAGS = [-24, -12, -1, 0, 1, 12, 24];

export interface SuspectWorld {
  readonly aligned: Aligned;
  /** Hours by which each visit took place later than written (n). */
  readonly late: Int32Array;
  /** How far the reading written down is from the true one, ln units (n), and whether the verdict usual there is another one. */
  readonly off: Float64Array;
  readonly otherWord: Uint8Array;
}

/**
 * A log of a flashy creek, gauge without lag: ln readings wander (sd 0.7, correlation time 20 h), visits 5 to 7 days apart, σ 0.2, verdict and a ledge of five
 * classes each (blur 0.12), a staff in cm if asked for. A share of the visits is written down 12 or 24 hours off.
 */
export function suspectWorld(
  seed: number,
  { visits = 80, wrong = 0.05, staff = false }: { visits?: number; wrong?: number; staff?: boolean } = {},
): SuspectWorld {
  const random = createRandom(seed);
  const keep = Math.exp(-1 / 20);
  const series = new Float64Array(visits * 168 + 200);
  for (let h = 1; h < series.length; h++)
    series[h] = keep * series[h - 1] + 0.7 * Math.sqrt(1 - keep * keep) * random.normal();
  const edges = [1.2, 1.75, 2.3, 2.85];
  const written: number[] = [];
  const late = new Int32Array(visits);
  const off = new Float64Array(visits);
  const otherWord = new Uint8Array(visits);
  const usual = (x: number): number => edges.filter((edge) => x > edge).length;
  const classes: number[] = [];
  const values: number[] = [];
  for (let i = 0; i < visits; i++) {
    const at = 100 + i * 160 + random.integer(40);
    if (random.uniform() < wrong) late[i] = [12, -12, 24, -24][random.integer(4)];
    written.push(at);
    const truth = 2 + series[at + late[i]];
    off[i] = Math.abs(series[at + late[i]] - series[at]);
    otherWord[i] = usual(truth) === usual(2 + series[at]) ? 0 : 1;
    const c = truth + 0.2 * random.normal();
    for (let f = 0; f < 2; f++) classes.push(edges.filter((edge) => c + 0.12 * random.normal() > edge).length);
    values.push(NaN, NaN);
    if (!staff) continue;
    classes.push(-1);
    values.push(15 + Math.exp((c + 3) / 1.5) + random.normal());
  }
  const per = staff ? 3 : 2;
  const m = visits * per;
  return {
    late,
    off,
    otherWord,
    aligned: {
      kind: 'aligned',
      run: 'main',
      gauge: 'bridge',
      gaugeName: 'the bridge',
      parameter: 'discharge',
      unit: 'm3/s',
      offset: 0,
      features: [
        { id: 'verdict', name: 'the verdict', classes: FIVE },
        { id: 'ledge', name: 'the ledge', classes: ['dry', 'thin', 'full', 'deep', 'gone'] },
        ...(staff ? [{ id: 'staff', name: 'the staff', classes: [], unit: 'cm' }] : []),
      ],
      observers: ['Ann'],
      visitIds: written.map((_, i) => `v${i}`),
      visitTimesMs: Float64Array.from(written, (h) => h * HOUR),
      sightingStart: Int32Array.from({ length: visits + 1 }, (_, i) => i * per),
      sightingFeature: Int32Array.from({ length: m }, (_, j) => j % per),
      sightingClass: Int32Array.from(classes),
      sightingValue: Float64Array.from(values),
      sightingObserver: new Int32Array(m),
      sightingRow: Int32Array.from({ length: m }, (_, j) => j + 2),
      lagsHours: Float64Array.from(LAGS),
      storagesHours: Float64Array.of(0),
      nodeStart: Int32Array.from({ length: visits + 1 }, (_, i) => i),
      nodeWeight: new Float64Array(visits).fill(1),
      x: Float64Array.from(LAGS.flatMap((lag) => written.map((h) => 2 + series[h - lag]))),
      slope: new Float64Array(LAGS.length * visits),
      shift: new Float64Array(LAGS.length * m),
      flood: Int32Array.from(written, (_, i) => i),
      limb: new Int8Array(visits),
      unmatched: [],
    },
  };
}
