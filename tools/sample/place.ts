/**
 * The invented place: what creek.json says about it, and what the truth behind it is. Discharges in m³/s at the put-in of the run.
 */

/** Verdict of both runs, lowest first. */
export const CLASSES = ['too low', 'low', 'good', 'high', 'too high'];

export interface TrueFeature {
  readonly id: string;
  readonly name: string;
  readonly kmFromPutIn: number;
  readonly looks: Readonly<Record<string, string>>;
  readonly classes: readonly string[];
  /** True edges: discharge at which one class turns into the next, one fewer than the classes. */
  readonly edgesM3s: readonly number[];
  /** How vaguely it shows the level, ln units of discharge. */
  readonly blur: number;
}

export interface TrueRun {
  readonly id: 'upper' | 'lower';
  readonly name: string;
  readonly catchmentAreaKm2: number;
  /** True edges of the verdict. */
  readonly edgesM3s: readonly number[];
  readonly blur: number;
  readonly features: readonly TrueFeature[];
  /** Nobody writes verdicts for this run; this feature's classes stand for them. */
  readonly verdictFrom?: string;
}

/** Painted staff: reads base + scale · (Q / reference)^exponent cm, give or take the noise. */
export const STAFF = {
  id: 'staff',
  name: 'painted staff on the put-in bridge',
  kmFromPutIn: 0.1,
  unit: 'cm',
  baseCm: 12,
  scaleCm: 31,
  referenceM3s: 4,
  exponent: 0.55,
  noiseCm: 1.5,
} as const;

const LIP_EDGES = [1.4, 2.2, 5.8, 10];

export const RUNS: readonly TrueRun[] = [
  {
    id: 'upper',
    name: 'Upper Quillmarrow: shingle bend to sawpit bridge',
    catchmentAreaKm2: 36,
    edgesM3s: LIP_EDGES,
    blur: 0.08,
    verdictFrom: 'lip',
    features: [
      {
        id: 'lip',
        name: 'kettle lip, first ledge below the put-in',
        kmFromPutIn: 0.3,
        classes: ['bare', 'wet', 'tongue', 'curling', 'washed'],
        edgesM3s: LIP_EDGES,
        blur: 0.08,
        looks: {
          bare: 'dry rock across, water only in the left notch',
          wet: 'a film over the rock, boats would scrape',
          tongue: 'one smooth tongue in the middle',
          curling: 'the tongue folds back into a curling wave',
          washed: 'no ledge to be seen, one line of brown waves',
        },
      },
      {
        id: 'island',
        name: 'shingle island at the second bend',
        kmFromPutIn: 2.1,
        classes: ['dry', 'split', 'drowned'],
        edgesM3s: [2.2, 6.5],
        blur: 0.16,
        looks: {
          dry: 'the right channel carries no water',
          split: 'water on both sides, shingle dry in the middle',
          drowned: 'only the willow tops show where it is',
        },
      },
      {
        id: 'root',
        name: 'alder root at the take-out',
        kmFromPutIn: 4.3,
        classes: ['hanging', 'dipping', 'under'],
        edgesM3s: [2, 4.6],
        blur: 0.13,
        looks: {
          hanging: 'the root hangs clear of the water',
          dipping: 'its tip nods in the current',
          under: 'the root is under, a boil marks it',
        },
      },
    ],
  },
  {
    id: 'lower',
    name: 'Lower Quillmarrow: sawpit bridge to the lime kiln',
    catchmentAreaKm2: 60,
    edgesM3s: [2.3, 3.6, 9.5, 16],
    blur: 0.08,
    features: [
      {
        id: 'slab',
        name: 'sloping slab in the narrows',
        kmFromPutIn: 2.8,
        classes: ['dry', 'streaked', 'covered', 'padded'],
        edgesM3s: [2.2, 4.2, 10],
        blur: 0.12,
        looks: {
          dry: 'dry from the right bank to the crack',
          streaked: 'streaks of water, rock between them',
          covered: 'covered from bank to bank',
          padded: 'a thick pad, the crack no longer shows',
        },
      },
      {
        id: 'pier',
        name: 'footbridge pier at the take-out',
        kmFromPutIn: 6.2,
        classes: ['foot dry', 'foot wet', 'two courses', 'arch'],
        edgesM3s: [2.9, 5.8, 12.5],
        blur: 0.1,
        looks: {
          'foot dry': 'gravel round the whole foot',
          'foot wet': 'the foot stands in water',
          'two courses': 'two courses of stone are under',
          arch: 'water reaches the spring of the arch',
        },
      },
    ],
  },
];

/** First name, how often they go, and true bias: positive sees more water than there is (ln units). */
export const OBSERVERS = [
  { name: 'Ilse', share: 5, bias: 0.03 },
  { name: 'Marek', share: 4, bias: -0.09 },
  { name: 'Tove', share: 3.5, bias: 0.07 },
  { name: 'Ruben', share: 3, bias: -0.03 },
  { name: 'Nadia', share: 2, bias: 0.11 },
  { name: 'Piet', share: 1.5, bias: -0.06 },
  { name: 'Wanda', share: 1, bias: 0.01 },
] as const;

/**
 * Two who often go together and then both write, each what they saw themselves. `share`: of the visits of either of them.
 */
export const PAIRS = [
  { names: ['Ilse', 'Marek'], share: 0.25 },
  { names: ['Tove', 'Ruben'], share: 0.04 },
] as const;

/** Speed of a rise along the runs, km/h. */
export const WAVE_SPEED_KM_H = 6;

/** What creek.json says of the gauges; the files are written by gaugeFiles.ts. */
export const GAUGES = [
  {
    id: 'larger',
    name: 'Great Thrask below Ommerhaven',
    parameter: 'discharge',
    unit: 'ft3/s',
    files: ['gauges/great-thrask.rdb'],
    format: 'rdb',
    catchmentAreaKm2: 308,
    distanceKm: 11,
    reach: { lies: 'downstream', lengthKm: 16, slope: 0.004, meanFlow: 460 },
    series: { site: '70440125', parameterCode: '00060' },
  },
  {
    id: 'flashy',
    name: 'Pinnerel Brook at Saddle Ford',
    parameter: 'discharge',
    unit: 'm3/s',
    files: ['gauges/pinnerel-brook.csv'],
    format: 'delimited',
    catchmentAreaKm2: 48,
    distanceKm: 9,
    timeZone: 'Etc/GMT+7',
    columns: { time: 'Date and time', value: 'Flow [m3/s]', quality: 'State' },
    delimiter: ';',
    decimalMark: ',',
    skipLines: 6,
    datePattern: 'dd.MM.yyyy HH:mm',
    missing: ['---'],
    refuse: ['I', 'M'],
    forecast: 'forecasts/pinnerel-brook.csv',
  },
  {
    id: 'regulated',
    name: 'Ostrell River below Vossmere dam',
    parameter: 'stage',
    unit: 'm',
    files: ['gauges/ostrell-2023.wml', 'gauges/ostrell-2024.wml'],
    format: 'waterml2',
    zeroFlowStage: 0.2,
    catchmentAreaKm2: 210,
    distanceKm: 26,
  },
] as const;

/** From the brook's gauge to the larger river's, hours: it joins below the flood plain, so its own flood runs ahead of the larger river's. */
export const BROOK_TO_LARGER = 2;

/** The larger river without the brook that joins it shortly above its gauge: the creek's water and that of the other arms. */
export const DERIVED_GAUGE = {
  id: 'without-brook',
  name: 'Great Thrask without Pinnerel Brook',
  kind: 'difference',
  of: ['larger', 'flashy'],
  travelHours: [0, BROOK_TO_LARGER],
} as const;

export const CREEK_NAME = 'Quillmarrow Creek (invented)';
