/** One hostile input and what must come of it. */
export interface HostileCase {
  readonly name: string;
  /** A key of GAUGES, or `visits`, or `creek`. */
  readonly read: string;
  readonly input: string | Uint8Array;
  /** Every issue, as `severity code`, sorted, each once. */
  readonly issues: readonly string[];
  /** Readings or sightings that are used; left out for creek.json, where no fatal issue means a creek. */
  readonly used?: number;
}

/** Several inputs with the same outcome, each named by the family and what it holds. */
export function family(
  title: string,
  inputs: readonly string[],
  make: (input: string) => Omit<HostileCase, 'name'>,
): readonly HostileCase[] {
  return inputs.map((input) => ({ name: `${title} ${JSON.stringify(input).slice(0, 60)}`, ...make(input) }));
}
