interface Named {
  readonly id: string;
}

/**
 * The one with this id.
 *
 * @param kind what the id names, for the message. @param options.of where the known ones stand.
 * @throws RangeError that names the valid ids.
 * @example known('run', 'gorge', { among: creek.runs })
 */
export function known<T extends Named>(
  kind: 'run' | 'gauge' | 'feature',
  id: string,
  { among, of = 'creek.json' }: { readonly among: readonly T[]; readonly of?: string },
): T {
  const found = among.find((one) => one.id === id);
  if (found === undefined)
    throw new RangeError(`unknown ${kind} '${id}'; ${of} has ${among.map((one) => one.id).join(', ') || 'none'}`);
  return found;
}

/**
 * Refuses runs and gauges that creek.json does not have; undefined asks for all.
 * @throws RangeError that names the valid ids.
 */
export function refuseUnknown(
  { runs, gauges }: { readonly runs?: readonly string[] | undefined; readonly gauges?: readonly string[] | undefined },
  creek: {
    readonly runs: readonly Named[];
    readonly gauges: readonly Named[];
    readonly derivedGauges?: readonly Named[];
  },
): void {
  runs?.forEach((id) => known('run', id, { among: creek.runs }));
  gauges?.forEach((id) => known('gauge', id, { among: [...creek.gauges, ...(creek.derivedGauges ?? [])] }));
}
