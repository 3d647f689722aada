import { z } from 'zod';

const edge = z
  .object({
    between: z.tuple([z.string(), z.string()]),
    gauge: z.number().nullable(),
    mismatch: z.number().nullable(),
    above: z.number(),
  })
  .nullable();
const reading = z.object({ storageHours: z.number(), lagHours: z.number() });
const period = z.object({
  lagHours: z.number(),
  edges: z.record(z.string(), z.array(edge)),
  routed: reading,
  planning: reading.optional(),
});
const gauges = z.record(z.string(), z.object({ fit: period, test: period.nullable().optional() }));
const truth = z.object({
  run: z.string().optional(),
  gauges,
  otherRuns: z.record(z.string(), z.object({ gauges })).optional(),
});

/** With fewer moments above it than this, an edge of the hidden record rests on one or two floods. */
const LEAST_ABOVE = 20;

/** An edge around which the hidden record itself spreads wider than this (ln units) is placed nowhere: a season moves the gauge less. */
const WIDEST_SPREAD = 1.5;

/** What a hidden record gave for one gauge over the period of the visits. */
export interface GaugeTruth extends Omit<z.infer<typeof period>, 'edges'> {
  /** By feature: gauge value and spread (ln units) of each edge, lowest first; null where the hidden record can't place it. */
  readonly edges: Readonly<Record<string, readonly ({ readonly gauge: number; readonly mismatch: number } | null)[]>>;
}

/** One run whose hidden record is known, and the file with its later classes. */
export interface RunTruth {
  readonly run: string;
  readonly laterFile: string;
  /** By gauge id. */
  readonly gauges: Readonly<Record<string, GaugeTruth>>;
}

/**
 * Reads a truth.json: for each run and gauge the lag, the edges (in the gauge's unit) and the spread around them that the creek's
 * hidden record gives over the period of the visits, by one reading at the best lag, and the best storage (`routed`; with a lag of
 * 0 or more: `planning`). An edge that the hidden record can't place (none given, few moments above it, or a spread of more than 1.5) is null.
 *
 * @param text contents of truth.json.
 * @param firstRun run of the top level where the file does not name it.
 * @returns the top level's run with `later.csv`, then the other runs, each with `later-<run>.csv`.
 * @throws ZodError when the file has another shape; SyntaxError when it is no JSON.
 */
export function readTruth(text: string, firstRun: string): readonly RunTruth[] {
  const parsed = truth.parse(JSON.parse(text));
  const fitOf = (all: z.infer<typeof gauges>) =>
    Object.fromEntries(Object.entries(all).map(([id, { fit }]) => [id, { ...fit, edges: placed(fit.edges) }]));
  return [
    { run: parsed.run ?? firstRun, laterFile: 'later.csv', gauges: fitOf(parsed.gauges) },
    ...Object.entries(parsed.otherRuns ?? {}).map(([run, other]) => ({
      run,
      laterFile: `later-${run}.csv`,
      gauges: fitOf(other.gauges),
    })),
  ];
}

function placed(edges: z.infer<typeof period>['edges']): GaugeTruth['edges'] {
  return Object.fromEntries(
    Object.entries(edges).map(([feature, list]) => [
      feature,
      list.map((e) => {
        if (e === null || e.gauge === null || e.mismatch === null) return null;
        return e.above >= LEAST_ABOVE && e.mismatch <= WIDEST_SPREAD ? { gauge: e.gauge, mismatch: e.mismatch } : null;
      }),
    ]),
  );
}
